package hardpan.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * How the records keep numbers: rounded once, when the record is made, to what the report says, so
 * that a report read back equals the report written. What is not finite becomes null, for JSON has
 * no word for it (RFC 8259, section 6).
 */
final class Numbers {
  /** Decimal places of decibels and loudness units. */
  static final int DECIBEL = 2;

  /** Decimal places of seconds: a nanosecond is far below one frame at any sample rate. */
  static final int SECOND = 9;

  /** Decimal places of shares, confidences and correlations. */
  static final int SHARE = 4;

  /** Decimal places of parts per million. */
  static final int PPM = 4;

  /** Decimal places of milliseconds. */
  static final int MILLISECOND = 4;

  /** Decimal places of a linear sample value; 24 bits resolve 1.2e-7. */
  static final int LINEAR = 7;

  private static final MathContext EVIDENCE = new MathContext(9, RoundingMode.HALF_EVEN);

  private Numbers() {}

  /** Rounds; null stays null, NaN and the infinities become null, -0.0 becomes 0.0. */
  static @Nullable Double orNull(@Nullable Double value, int decimals) {
    return value == null || !Double.isFinite(value) ? null : rounded(value, decimals);
  }

  /** As {@link #orNull}, and refuses what is below zero. */
  static @Nullable Double notNegativeOrNull(@Nullable Double value, int decimals, String what) {
    Double kept = orNull(value, decimals);
    if (kept != null && kept < 0) {
      throw new IllegalArgumentException(what + " must be 0 or more, not " + value);
    }
    return kept;
  }

  /** A text that must not be empty. */
  static String notEmpty(String text, String what) {
    if (text.isEmpty()) {
      throw new IllegalArgumentException(what + " must not be empty");
    }
    return text;
  }

  /** Rounds a number that must be there, be finite and not be negative. */
  static double notNegative(double value, int decimals, String what) {
    if (!Double.isFinite(value) || value < 0) {
      throw new IllegalArgumentException(what + " must be 0 or more, not " + value);
    }
    return rounded(value, decimals);
  }

  /** Rounds a confidence, which must lie between 0 and 1. */
  static double confidence(double value) {
    if (!(value >= 0 && value <= 1)) {
      throw new IllegalArgumentException("confidence must be 0 to 1, not " + value);
    }
    return rounded(value, SHARE);
  }

  /** Null or a whole number above zero. */
  static <N extends Number> @Nullable N positiveOrNull(@Nullable N value, String what) {
    if (value != null && value.longValue() < 1) {
      throw new IllegalArgumentException(what + " must be 1 or more, not " + value);
    }
    return value;
  }

  /** Null or a whole number not below zero. */
  static <N extends Number> @Nullable N notNegativeOrNull(@Nullable N value, String what) {
    if (value != null && value.longValue() < 0) {
      throw new IllegalArgumentException(what + " must be 0 or more, not " + value);
    }
    return value;
  }

  private static double rounded(double value, int decimals) {
    return BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_EVEN).doubleValue() + 0.0;
  }

  /**
   * Brings one value of a finding's evidence into the few kinds JSON has: text, true or false,
   * whole numbers as Long, others as Double with nine significant digits, lists and maps of these,
   * null. Anything else becomes its text.
   */
  static @Nullable Object plain(@Nullable Object value) {
    if (value == null || value instanceof String || value instanceof Boolean) {
      return value;
    }
    if (value instanceof Long
        || value instanceof Integer
        || value instanceof Short
        || value instanceof Byte) {
      return ((Number) value).longValue();
    }
    if (value instanceof Number number) {
      double finite = number.doubleValue();
      return Double.isFinite(finite)
          ? (Object) (new BigDecimal(finite).round(EVIDENCE).doubleValue() + 0.0)
          : null;
    }
    if (value instanceof Map<?, ?> map) {
      return plainMap(map);
    }
    if (value instanceof Iterable<?> items) {
      List<@Nullable Object> list = new ArrayList<>();
      for (Object item : items) {
        list.add(plain(item));
      }
      return Collections.unmodifiableList(list);
    }
    return value instanceof Word word ? word.word() : value.toString();
  }

  /** Copies a map in its own order, each value through {@link #plain}. */
  static Map<String, @Nullable Object> plainMap(Map<?, ?> map) {
    Map<String, @Nullable Object> copy = new LinkedHashMap<>();
    for (Map.Entry<?, ?> entry : map.entrySet()) {
      copy.put(String.valueOf(entry.getKey()), plain(entry.getValue()));
    }
    return Collections.unmodifiableMap(copy);
  }
}
