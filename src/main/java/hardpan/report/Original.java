package hardpan.report;

import org.jspecify.annotations.Nullable;

/**
 * An original file as a timeline points to it; what the report itself does not say of it.
 *
 * @param url relative to the hand-over folder, or a whole {@code file:} URL; percent-encoded (RFC
 *     3986)
 * @param hasPicture whether it has a moving picture, as far as that is known
 * @param picturesPerSecond rate of its picture; null if it has none or the file does not say one
 *     that timecode counts
 * @param startTimecode where its first sample lies on the lanes' clock, in frames of its picture;
 *     null if that rate or its place is not known
 */
public record Original(
    String url,
    boolean hasPicture,
    @Nullable Double picturesPerSecond,
    @Nullable String startTimecode) {
  /** Checks the range. */
  public Original {
    Numbers.notEmpty(url, "an original's url");
    if (picturesPerSecond != null && !(picturesPerSecond > 0 && picturesPerSecond <= 1000)) {
      throw new IllegalArgumentException("pictures per second " + picturesPerSecond);
    }
  }
}
