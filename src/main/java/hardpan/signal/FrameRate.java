package hardpan.signal;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How many pictures a second a camera takes: an exact fraction, since 23.976 and 29.97 are none.
 *
 * @param numerator above the line, at least 1
 * @param denominator below it, at least 1
 */
public record FrameRate(int numerator, int denominator) {
  /**
   * The rates of SMPTE ST 12-1:2014 and its high frame rates, 23.976 to 60, as OpenTimelineIO's
   * {@code rationalTime.cpp} lists them.
   */
  public static final List<FrameRate> TIMECODE_RATES =
      List.of(
          new FrameRate(24_000, 1001),
          new FrameRate(24, 1),
          new FrameRate(25, 1),
          new FrameRate(30_000, 1001),
          new FrameRate(30, 1),
          new FrameRate(48_000, 1001),
          new FrameRate(48, 1),
          new FrameRate(50, 1),
          new FrameRate(60_000, 1001),
          new FrameRate(60, 1));

  /** A file's own fraction may be rounded; rates of cameras lie 1000 ppm apart or more. */
  private static final double TOLERANCE = 200e-6;

  /** Checks the range. */
  public FrameRate {
    if (numerator < 1 || denominator < 1) {
      throw new IllegalArgumentException(numerator + "/" + denominator);
    }
  }

  /**
   * The timecode rate that a file's own fraction means, or null if it is near none, as with the
   * varying rates of phones.
   */
  public static @Nullable FrameRate nearest(double picturesPerSecond) {
    for (FrameRate rate : TIMECODE_RATES) {
      if (Math.abs(picturesPerSecond / rate.perSecond() - 1) < TOLERANCE) {
        return rate;
      }
    }
    return null;
  }

  /** Pictures a second. */
  public double perSecond() {
    return (double) numerator / denominator;
  }

  /** What timecode counts to: 24 for 23.976, 30 for 29.97. */
  public int nominal() {
    return (int) Math.round(perSecond());
  }

  /** Whether drop-frame counting exists for it: 29.97 and 59.94 only (SMPTE ST 12-1). */
  public boolean takesDropFrame() {
    return denominator == 1001 && (numerator == 30_000 || numerator == 60_000);
  }

  /** As iXML wants it: {@code 25/1}, {@code 30000/1001}. */
  @Override
  public String toString() {
    return numerator + "/" + denominator;
  }
}
