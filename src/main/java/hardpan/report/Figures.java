package hardpan.report;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Numbers as people read them; always with a full stop, whatever the machine's language. */
final class Figures {
  /** Stands for a number nobody knows. */
  static final String UNKNOWN = "–";

  private static final Pattern UNIT =
      Pattern.compile(
          "(?<=[0-9–]) (?=(?:dB|dBu|dBV|dBFS|dBTP|LUFS|LU|Hz|ppm|ms|s|min|h|bits|mV|µV|V|%)"
              + "(?![A-Za-z]))|(?<=\\bpin) (?=[123])");

  private Figures() {}

  /** With so many decimal places; {@link #UNKNOWN} for null or what is not finite. */
  static String fixed(@Nullable Double value, int decimals) {
    if (value == null || !Double.isFinite(value)) {
      return UNKNOWN;
    }
    BigDecimal rounded = BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_EVEN);
    return rounded.signum() == 0 ? rounded.abs().toPlainString() : rounded.toPlainString();
  }

  /** As {@link #fixed}, with a plus sign above zero. */
  static String signed(@Nullable Double value, int decimals) {
    String text = fixed(value, decimals);
    return value != null && value > 0 && !text.equals(fixed(0.0, decimals)) && !text.equals(UNKNOWN)
        ? "+" + text
        : text;
  }

  /** As {@link #fixed}, without zeros at the end: 30, 2.5. */
  static String shortest(double value, int decimals) {
    BigDecimal rounded =
        BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_EVEN).stripTrailingZeros();
    return rounded.scale() < 0 ? rounded.setScale(0).toPlainString() : rounded.toPlainString();
  }

  /** 0.987 as {@code 98 %}: rounded down, so that nothing but 1 reads as certain. */
  static String percent(double share) {
    return (int) Math.floor(share * 100 + 1e-9) + " %";
  }

  /** A moment as {@code m:ss.mmm} or {@code h:mm:ss.mmm}, with a minus sign before zero. */
  static String clock(double seconds, int decimals) {
    BigDecimal rounded =
        BigDecimal.valueOf(Math.abs(seconds)).setScale(decimals, RoundingMode.HALF_EVEN);
    long whole = rounded.longValue();
    BigDecimal fraction = rounded.subtract(BigDecimal.valueOf(whole));
    String tail = decimals == 0 ? "" : fraction.toPlainString().substring(1);
    String text =
        whole >= 3600
            ? whole / 3600 + ":" + two(whole / 60 % 60) + ":" + two(whole % 60) + tail
            : whole / 60 + ":" + two(whole % 60) + tail;
    return seconds < 0 && rounded.signum() != 0 ? MinusSigns.ofNumber("-" + text) : text;
  }

  /** A length as {@code 1 h 30 min}, {@code 25 min 12 s} or {@code 9.5 s}. */
  static String length(@Nullable Double seconds) {
    if (seconds == null || !Double.isFinite(seconds)) {
      return "unknown length";
    }
    if (seconds < 60) {
      return shortest(seconds, 1) + " s";
    }
    long whole = Math.round(seconds);
    if (whole < 3600) {
      return whole / 60 + " min" + (whole % 60 == 0 ? "" : " " + whole % 60 + " s");
    }
    long minutes = Math.round(seconds / 60);
    return minutes / 60 + " h" + (minutes % 60 == 0 ? "" : " " + minutes % 60 + " min");
  }

  /** {@code 1 clip}, {@code 3 clips}. */
  static String count(long number, String one, String many) {
    return number + " " + (number == 1 ? one : many);
  }

  /**
   * A sentence as it is shown: every number tied to its unit, and a pin to its number, by a
   * no-break space, so that no line ends between them; true minus signs.
   */
  static String tied(String text) {
    return UNIT.matcher(MinusSigns.in(text)).replaceAll("\u00a0");
  }

  private static String two(long number) {
    return number < 10 ? "0" + number : Long.toString(number);
  }
}
