package hardpan.report;

import java.util.regex.Pattern;

/**
 * A true minus sign for sentences that people read. What programs read, and what a person may copy
 * into a command, keeps the hyphen.
 */
public final class MinusSigns {
  private static final char MINUS = '\u2212';

  /**
   * A hyphen before a number with decimals or with a unit, where a number can begin; what is part
   * of a name is none.
   */
  private static final Pattern NEGATIVE =
      Pattern.compile(
          "(?<![\\p{L}\\p{N}._/\\\\=-])-(?=[0-9]+(?:\\.[0-9]+|(?:\\.[0-9]+)?[ \u00a0]"
              + "(?:dB|dBu|dBV|dBFS|dBTP|LUFS|LU|Hz|ppm|ms|s|%))(?![\\p{L}\\p{N}]|\\.[\\p{L}\\p{N}]))");

  private MinusSigns() {}

  /** The same text with a minus sign before its negative numbers. */
  public static String in(String text) {
    return text.indexOf('-') < 0 ? text : NEGATIVE.matcher(text).replaceAll(String.valueOf(MINUS));
  }

  /** The same for what is nothing but a number. */
  static String ofNumber(String number) {
    return number.startsWith("-") ? MINUS + number.substring(1) : number;
  }
}
