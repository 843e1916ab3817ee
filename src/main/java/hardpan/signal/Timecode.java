package hardpan.signal;

import java.math.BigInteger;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Timecode after SMPTE ST 12-1: names for picture frames, {@code HH:MM:SS:FF}. Drop-frame counting
 * leaves out the names 00 and 01 (29.97) or 00 to 03 (59.94) at the start of every minute but each
 * tenth; no picture is left out. A day has 24 hours of names, then they begin again.
 *
 * @param rate pictures a second
 * @param dropFrame whether names are left out; only for 29.97 and 59.94
 */
public record Timecode(FrameRate rate, boolean dropFrame) {
  private static final Pattern LABEL =
      Pattern.compile("([0-9]{2}):([0-9]{2}):([0-9]{2})([:;])([0-9]{2})");

  /** Checks that drop-frame counting exists for the rate. */
  public Timecode {
    if (dropFrame && !rate.takesDropFrame()) {
      throw new IllegalArgumentException("no drop-frame counting at " + rate);
    }
  }

  /** Names left out in a minute. */
  private int dropped() {
    return dropFrame ? rate.nominal() / 15 : 0;
  }

  private long framesInTenMinutes() {
    return 600L * rate.nominal() - 9L * dropped();
  }

  /** Frames in 24 hours of names. */
  public long framesInDay() {
    return 144 * framesInTenMinutes();
  }

  /**
   * The name of a frame.
   *
   * @param frame counted from midnight; what lies beyond a day, or before it, wraps around
   * @return {@code HH:MM:SS:FF}, with {@code ;} before the frames if drop-frame
   */
  public String label(long frame) {
    long within = Math.floorMod(frame, framesInDay());
    long tens = within / framesInTenMinutes();
    long rest = within % framesInTenMinutes();
    int nominal = rate.nominal();
    int drop = dropped();
    long named = within + 9L * drop * tens;
    if (rest >= drop) {
      named += drop * ((rest - drop) / (60L * nominal - drop));
    }
    long seconds = named / nominal;
    return String.format(
        Locale.ROOT,
        "%02d:%02d:%02d%s%02d",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60,
        dropFrame ? ";" : ":",
        named % nominal);
  }

  /**
   * The frame that has a name.
   *
   * @return frames from midnight
   * @throws IllegalArgumentException if there is no such name, as 00:01:00;00
   */
  public long frame(String label) {
    Matcher match = LABEL.matcher(label);
    if (!match.matches() || match.group(4).equals(";") != dropFrame) {
      throw new IllegalArgumentException("no timecode: " + label);
    }
    int hours = Integer.parseInt(match.group(1));
    int minutes = Integer.parseInt(match.group(2));
    int seconds = Integer.parseInt(match.group(3));
    int frames = Integer.parseInt(match.group(5));
    int nominal = rate.nominal();
    boolean left = seconds == 0 && frames < dropped() && minutes % 10 != 0;
    if (hours > 23 || minutes > 59 || seconds > 59 || frames >= nominal || left) {
      throw new IllegalArgumentException("no such timecode: " + label);
    }
    long allMinutes = 60L * hours + minutes;
    return (allMinutes * 60 + seconds) * nominal
        + frames
        - dropped() * (allMinutes - allMinutes / 10);
  }

  /**
   * The frame in which a sample lies.
   *
   * @param sample counted from midnight
   * @param rateHz sample rate, above 0
   */
  public long frameAt(long sample, int rateHz) {
    // Whole numbers of any size: 64 bits hold no product of a day of samples and 60,000.
    BigInteger[] parts =
        BigInteger.valueOf(sample)
            .multiply(BigInteger.valueOf(rate.numerator()))
            .divideAndRemainder(
                BigInteger.valueOf(rateHz).multiply(BigInteger.valueOf(rate.denominator())));
    long whole = parts[0].longValueExact();
    return parts[1].signum() < 0 ? whole - 1 : whole;
  }

  /**
   * The first sample that lies in a frame.
   *
   * @param frame counted from midnight
   * @param rateHz sample rate, above 0
   */
  public long firstSample(long frame, int rateHz) {
    BigInteger[] parts =
        BigInteger.valueOf(frame)
            .multiply(BigInteger.valueOf(rateHz))
            .multiply(BigInteger.valueOf(rate.denominator()))
            .divideAndRemainder(BigInteger.valueOf(rate.numerator()));
    long whole = parts[0].longValueExact();
    return parts[1].signum() > 0 ? whole + 1 : whole;
  }
}
