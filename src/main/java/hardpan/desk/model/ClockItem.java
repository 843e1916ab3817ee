package hardpan.desk.model;

import hardpan.shoot.PictureCount;
import hardpan.shoot.WaveLevels;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A source in the picture of the shoot.
 *
 * @param row the source
 * @param startSeconds its start on the reference's clock; 0 if it has no place
 * @param stretch reference seconds in one of its own seconds; near 1
 * @param frameCount its length in frames; 0 if it cannot be read
 * @param rateHz frames in one of its own seconds, at least 1
 * @param channelCount number of channels, 0 if it cannot be read
 * @param firstStrip which of its run's channels is its first
 * @param waves its waveform, or null if it cannot be read
 * @param count how its pictures are counted, or null if they are not
 * @param flags its findings
 * @param reason why it has no place of its own on the clock; empty if it has one
 * @param placesSeconds where it may start, if it fits more than once
 */
public record ClockItem(
    SourceRow row,
    double startSeconds,
    double stretch,
    long frameCount,
    int rateHz,
    int channelCount,
    int firstStrip,
    @Nullable WaveLevels waves,
    @Nullable PictureCount count,
    List<Flag> flags,
    String reason,
    List<Double> placesSeconds) {
  /** Copies. */
  public ClockItem {
    flags = List.copyOf(flags);
    placesSeconds = List.copyOf(placesSeconds);
  }

  /** Its end on the reference's clock. */
  public double endSeconds() {
    return startSeconds + frameCount * stretch / rateHz;
  }

  /** Its own clock at a moment of the reference's. */
  public double ownSeconds(double referenceSeconds) {
    return (referenceSeconds - startSeconds) / stretch;
  }

  /** Which of its frames, and what part of it, is at a moment of the reference. */
  public double frameAt(double referenceSeconds) {
    return ownSeconds(referenceSeconds) * rateHz;
  }

  /** Whether it sounds at a moment. */
  public boolean isAt(double referenceSeconds) {
    return referenceSeconds >= startSeconds && referenceSeconds < endSeconds();
  }

  ClockItem atStrip(int strip) {
    return new ClockItem(
        row,
        startSeconds,
        stretch,
        frameCount,
        rateHz,
        channelCount,
        strip,
        waves,
        count,
        flags,
        reason,
        placesSeconds);
  }

  /** What is wrong, each thing once, worst first: {@code line level, too hot; recorded too low}. */
  public String flagWords() {
    return Flag.words(flags);
  }
}
