package hardpan.desk.model;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Moments and levels as people read them, with a full stop whatever the machine's language. */
public final class Times {
  private Times() {}

  /** A moment as {@code m:ss.mmm} or {@code h:mm:ss.mmm}, with a minus sign before zero. */
  public static String clock(double seconds, int decimals) {
    BigDecimal rounded =
        BigDecimal.valueOf(Math.abs(seconds)).setScale(decimals, RoundingMode.HALF_EVEN);
    long whole = rounded.longValue();
    String tail =
        decimals == 0
            ? ""
            : rounded.subtract(BigDecimal.valueOf(whole)).toPlainString().substring(1);
    String sign = seconds < 0 && rounded.signum() != 0 ? "\u2212" : "";
    return whole >= 3600
        ? String.format(
            Locale.ROOT, "%s%d:%02d:%02d%s", sign, whole / 3600, whole / 60 % 60, whole % 60, tail)
        : String.format(Locale.ROOT, "%s%d:%02d%s", sign, whole / 60, whole % 60, tail);
  }

  /** A level with one decimal; a dash for a silent channel. */
  static String level(@Nullable Double decibels) {
    return decibels == null
        ? "\u2013"
        : String.format(Locale.ROOT, "%.1f", decibels).replace('-', '\u2212');
  }
}
