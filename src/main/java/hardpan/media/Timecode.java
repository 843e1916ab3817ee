package hardpan.media;

import java.math.BigInteger;
import java.time.LocalTime;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * A timecode label with its rate (SMPTE ST 12-1).
 *
 * @param hours 0 to 23
 * @param minutes 0 to 59
 * @param seconds 0 to 59
 * @param frames below the nominal rate
 * @param rateNumerator pictures in {@code rateDenominator} seconds
 * @param rateDenominator 1, or 1001 for the rates that run a thousandth slow
 * @param dropFrame whether labels are skipped so that the count keeps up with the clock
 */
record Timecode(
    int hours,
    int minutes,
    int seconds,
    int frames,
    int rateNumerator,
    int rateDenominator,
    boolean dropFrame) {
  private static final Pattern LABEL =
      Pattern.compile("([0-9]{2}):([0-9]{2}):([0-9]{2})([:;.])([0-9]{2,3})");

  private static final int HIGHEST_RATE = 120;

  /**
   * A label as text. A semicolon or a full stop before the frames means drop-frame (common
   * practice, no source).
   *
   * @return null if it is none: another form, a number out of range, a rate of 0 or above 120, or a
   *     label that drop-frame counting skips
   */
  static @Nullable Timecode parse(String text, int rateNumerator, int rateDenominator) {
    Matcher match = LABEL.matcher(text.strip());
    if (!match.matches() || rateNumerator < 1 || rateDenominator < 1) {
      return null;
    }
    // Tracks give it in their own units: 12800/512 for 25.
    int common =
        BigInteger.valueOf(rateNumerator).gcd(BigInteger.valueOf(rateDenominator)).intValue();
    boolean drop = !match.group(4).equals(":");
    Timecode code =
        new Timecode(
            Integer.parseInt(match.group(1)),
            Integer.parseInt(match.group(2)),
            Integer.parseInt(match.group(3)),
            Integer.parseInt(match.group(5)),
            rateNumerator / common,
            rateDenominator / common,
            drop);
    return code.isLegal() ? code : null;
  }

  private boolean isLegal() {
    int nominal = nominalRate();
    if (nominal < 1 || nominal > HIGHEST_RATE || frames >= nominal) {
      return false;
    }
    if (hours > 23 || minutes > 59 || seconds > 59) {
      return false;
    }
    return !dropFrame || seconds != 0 || minutes % 10 == 0 || frames >= skippedLabels();
  }

  /** Whole pictures a second in the label. */
  int nominalRate() {
    return (int) Math.round((double) rateNumerator / rateDenominator);
  }

  /** Two labels a minute at 29.97, four at 59.94 (SMPTE ST 12-1). */
  private int skippedLabels() {
    return Math.max(1, Math.round(nominalRate() / 30f)) * 2;
  }

  /** What the device's clock showed: the label's time, its frames as a part of the second. */
  LocalTime timeOfDay() {
    double part = (double) frames * rateDenominator / rateNumerator;
    return LocalTime.of(hours, minutes, seconds)
        .plusNanos(Math.min(999_999_999, Math.round(part * 1e9)));
  }

  /**
   * Whether this is the label that cameras begin with when they count what they recorded instead of
   * the time of day: a full 0 or 1 o'clock (common practice, no source).
   */
  boolean isCounterStart() {
    return hours <= 1 && minutes == 0 && seconds == 0 && frames == 0;
  }

  @Override
  public String toString() {
    String rate =
        rateDenominator == 1
            ? Integer.toString(rateNumerator)
            : rateNumerator + "/" + rateDenominator;
    return "%02d:%02d:%02d%s%02d".formatted(hours, minutes, seconds, dropFrame ? ";" : ":", frames)
        + " at "
        + rate
        + " a second"
        + (dropFrame ? ", drop-frame" : "");
  }
}
