package hardpan.wave;

import java.time.LocalTime;
import java.util.Locale;
import java.util.SplittableRandom;

/**
 * An originator reference of 32 characters after EBU R 99: country, organisation, serial string,
 * time and random digits. That the last part is digits only is from memory.
 *
 * @param country two letters of ISO 3166
 * @param organisation three characters
 * @param serial twelve characters that name the machine
 * @param time origination time; whole seconds count
 * @param random nine digits
 */
public record UsidReference(
    String country, String organisation, String serial, LocalTime time, String random) {

  /** Checks the lengths. */
  public UsidReference {
    if (country.length() != 2
        || organisation.length() != 3
        || serial.length() != 12
        || !random.matches("[0-9]{9}")) {
      throw new IllegalArgumentException(country + organisation + serial + random);
    }
  }

  /**
   * Fits free texts to the fields: plain ASCII letters and digits, upper case, cut or filled with
   * {@code 0}. The same arguments always give the same reference.
   *
   * @param seed decides the random digits; the caller makes it different for each file
   */
  public static UsidReference of(
      String country, String organisation, String machine, LocalTime time, long seed) {
    long digits = new SplittableRandom(seed).nextLong(1_000_000_000L);
    return new UsidReference(
        fit(country, 2),
        fit(organisation, 3),
        fit(machine, 12),
        time,
        String.format(Locale.ROOT, "%09d", digits));
  }

  private static String fit(String text, int length) {
    String plain = ChunkText.toAscii(text).toUpperCase(Locale.ROOT).replaceAll("[^A-Z0-9]", "");
    return (plain + "0".repeat(length)).substring(0, length);
  }

  /** The 32 characters. */
  public String text() {
    return country
        + organisation
        + serial
        + String.format(
            Locale.ROOT, "%02d%02d%02d", time.getHour(), time.getMinute(), time.getSecond())
        + random;
  }
}
