package hardpan.lanes;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The plan of one mono track.
 *
 * @param source where its sound comes from
 * @param name what it is called
 * @param role what it is: microphone, console feed ...
 * @param fileName file name in the hand-over's {@code lanes} folder, unique there
 * @param channels the source's channels: one, or two whose half difference is taken (first less
 *     second)
 * @param resample whether its clock is corrected to the reference's
 * @param format samples of the file
 */
public record Lane(
    LaneSource source,
    String name,
    String role,
    String fileName,
    List<Integer> channels,
    boolean resample,
    Format format) {
  /** Copies the list. */
  public Lane {
    channels = List.copyOf(channels);
    if (channels.isEmpty() || channels.size() > 2) {
      throw new IllegalArgumentException("channels " + channels);
    }
  }

  /**
   * Samples of a lane's file.
   *
   * @param isFloat IEEE floats, else whole numbers
   * @param bits bits a sample
   * @param rateHz sample rate
   */
  public record Format(boolean isFloat, int bits, int rateHz) {}

  /** Whether the lane is the half difference of two channels. */
  boolean isDifference() {
    return channels.size() == 2;
  }

  /**
   * First frame on the reference, counted at the lane's own rate, or null if the source has no
   * place. A corrected lane has the reference's rate and starts on its grid, at the first frame
   * that the source reaches.
   */
  @Nullable Long startFrameOnReference() {
    Double offset = source.offsetSeconds();
    if (offset == null) {
      return null;
    }
    double position = offset * format.rateHz();
    return resample ? (long) Math.ceil(position - 1e-9) : Math.round(position);
  }
}
