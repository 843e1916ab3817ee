package hardpan.desk.model;

import java.util.Locale;

/** Numbers as people read them. */
final class Numbers {
  private Numbers() {}

  /** With a sign and so many decimals; a true minus sign. */
  static String signed(double value, int decimals) {
    String text = String.format(Locale.ROOT, "%+." + decimals + "f", value);
    boolean zero = text.chars().noneMatch(c -> c >= '1' && c <= '9');
    return zero ? text.substring(1) : text.replace('-', '\u2212');
  }

  /** The same with the unit behind it. */
  static String signedSeconds(double seconds, int decimals) {
    return signed(seconds, decimals) + " s";
  }

  /** A size in bytes as people name it, in decimal units. */
  static String size(double bytes) {
    double megabytes = bytes / 1e6;
    return megabytes >= 1000
        ? Texts.of("prospect.size.gb", plain(megabytes / 1000, 1))
        : Texts.of("prospect.size.mb", plain(Math.ceil(megabytes), 0));
  }

  /** Without a sign for positive numbers. */
  static String plain(double value, int decimals) {
    String text = signed(value, decimals);
    return text.startsWith("+") ? text.substring(1) : text;
  }
}
