package hardpan.lanes;

import hardpan.base.SourceClock;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The plan of one mono signal, cut out of one source.
 *
 * @param source where its sound comes from
 * @param name what it is called
 * @param role what it is: microphone, console feed ...
 * @param roleGuessed whether nobody said what it is
 * @param fileName name of the file it goes into, in the hand-over's {@code lanes} folder
 * @param channels the source's channels: one, or two whose half difference is taken (first less
 *     second)
 * @param resample whether its clock is corrected to the reference's
 * @param format samples of the file
 * @param slot where in the file it lies
 */
public record Lane(
    LaneSource source,
    String name,
    String role,
    boolean roleGuessed,
    String fileName,
    List<Integer> channels,
    boolean resample,
    Format format,
    Slot slot) {
  /** Copies the list. */
  public Lane {
    channels = List.copyOf(channels);
    if (channels.isEmpty() || channels.size() > 2) {
      throw new IllegalArgumentException("channels " + channels);
    }
  }

  /** A lane in a file of its own. */
  public Lane(
      LaneSource source,
      String name,
      String role,
      boolean roleGuessed,
      String fileName,
      List<Integer> channels,
      boolean resample,
      Format format) {
    this(source, name, role, roleGuessed, fileName, channels, resample, format, Slot.WHOLE);
  }

  /** The same in a file. */
  Lane in(String file, Format fileFormat, Slot place) {
    return new Lane(source, name, role, roleGuessed, file, channels, resample, fileFormat, place);
  }

  /** The same on another clock. */
  Lane resampled(Format resampledFormat) {
    return new Lane(
        source, name, role, roleGuessed, fileName, channels, true, resampledFormat, slot);
  }

  /** Whether it is cut out of this source. */
  boolean isOf(LaneSource other) {
    return source.path().equals(other.path());
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
   * that the source reaches by its clock, bent or not. Another one starts at the straight line's
   * offset: at its own speed it could follow no bend.
   */
  @Nullable Long startFrameOnReference() {
    SourceClock clock = source.clock();
    if (clock == null) {
      return null;
    }
    int rateHz = format.rateHz();
    return resample
        ? (long) Math.ceil(clock.referenceSeconds(0) * rateHz - 1e-9)
        : Math.round(clock.offsetSeconds() * rateHz);
  }

  /** Where in the source the frames of a corrected lane lie, for whoever goes through them. */
  SourcePositions positions() {
    Long startFrame = startFrameOnReference();
    SourceClock clock = source.clock();
    int sourceRateHz = source.facts().rateHz();
    return startFrame == null || clock == null
        ? SourcePositions.straight((double) sourceRateHz / format.rateHz(), 0)
        : SourcePositions.of(clock, sourceRateHz, format.rateHz(), startFrame);
  }

  /** Whether it follows a bend of its source's clock. */
  boolean followsBend() {
    return resample && source.bend() != null;
  }

  /** How many frames it will have in its file; to a frame where its clock is corrected. */
  long expectedFrames() {
    long frames = resample ? positions().framesWithin(source.frameCount()) : source.frameCount();
    return Math.min(slot.frameLimit(), frames);
  }
}
