package hardpan.report;

import hardpan.base.UsualPads;
import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The sums behind an in-line attenuator. Voltages are root mean square; 0 dBu is 0.775 V by ITU-R
 * BS.645-2, section 1, exactly the square root of 0.6 V (one milliwatt in 600 ohms); 0 dBV is 1 V.
 */
public final class PadSums {
  /** A console's nominal line level, in dBu (common practice, no source). */
  public static final double LINE_LEVEL_DBU = 4;

  /** Least room to leave above the highest peak seen, in dB. */
  public static final double LEAST_HEADROOM_DB = 6;

  /** Most room to leave, in dB; more would only raise the noise. */
  public static final double MOST_HEADROOM_DB = 12;

  private static final double ZERO_DBU_VOLTS = Math.sqrt(0.6);
  private static final Pattern LEVEL =
      Pattern.compile("([+-]?[0-9]{1,9}(?:\\.[0-9]{1,9})?) ?(dBu|dBV|V|mV)?");

  private PadSums() {}

  /** Volts of a level in dBu. */
  public static double voltsFromDbu(double levelDbu) {
    return ZERO_DBU_VOLTS * Math.pow(10, levelDbu / 20);
  }

  /** Level in dBu of a voltage above 0; minus infinity for 0, NaN below. */
  public static double dbuFromVolts(double volts) {
    return 20 * Math.log10(volts / ZERO_DBU_VOLTS);
  }

  /**
   * A level as it is typed: dBu as in {@code 4}, or with its unit, {@code -10dBV}, {@code 1.2V},
   * {@code 200mV}.
   *
   * @return in dBu, finite
   * @throws IllegalArgumentException if it is none
   */
  public static double dbuFromText(String text) {
    Matcher parts = LEVEL.matcher(text.strip());
    if (!parts.matches()) {
      throw new IllegalArgumentException(
          "'" + text + "' is not a level; write dBu as in 4, or -10dBV, 1.2V, 200mV");
    }
    double value = Double.parseDouble(parts.group(1));
    String unit = parts.group(2) == null ? "dBu" : parts.group(2);
    double dbu =
        switch (unit) {
          case "dBV" -> dbuFromDbv(value);
          case "V" -> dbuFromVolts(value);
          case "mV" -> dbuFromVolts(value / 1000);
          default -> value;
        };
    if (!Double.isFinite(dbu)) {
      throw new IllegalArgumentException("'" + text + "' is not a level; volts must be above 0");
    }
    return dbu;
  }

  /** Level in dBu of a level in dBV. */
  public static double dbuFromDbv(double levelDbv) {
    return dbuFromVolts(Math.pow(10, levelDbv / 20));
  }

  /**
   * The next usual pad that leaves 6 to 12 dB of headroom above a feed that is too hot.
   *
   * @param excessDb how far the peaks reach above the input's ceiling, in dB; may be negative
   * @return the pad in dB; empty if no usual one fits (too little excess for any, or more than 34
   *     dB), or if the excess is not a number
   */
  public static OptionalInt usualPadDb(double excessDb) {
    for (int pad : UsualPads.DB) {
      double headroomDb = pad - excessDb;
      if (headroomDb >= LEAST_HEADROOM_DB) {
        return headroomDb <= MOST_HEADROOM_DB ? OptionalInt.of(pad) : OptionalInt.empty();
      }
    }
    return OptionalInt.empty();
  }

  /** The sum as a sentence: {@code +4 dBu less 35 dB is -31 dBu = 21.8 mV (0 dBu = 0.7746 V).} */
  public static String sentence(double levelDbu, double padDb) {
    double afterDbu = levelDbu - padDb;
    return signedDbu(levelDbu)
        + " less "
        + Figures.shortest(padDb, 1)
        + " dB is "
        + signedDbu(afterDbu)
        + " = "
        + volts(voltsFromDbu(afterDbu))
        + " (0 dBu = 0.7746 V).";
  }

  /**
   * The usual pad for a source above what an input takes, or the largest; empty if none is needed.
   */
  public static OptionalInt inputPadDb(double sourceDbu, double inputDbu) {
    double tooMuchDb = sourceDbu - inputDbu;
    return tooMuchDb > 0 ? OptionalInt.of(UsualPads.atLeast(tooMuchDb)) : OptionalInt.empty();
  }

  /**
   * How much a source is above what an input takes and which pad helps, as a sentence: {@code +4
   * dBu less -31 dBu is 35 dB: a 35 dB pad fits.}
   */
  public static String inputSentence(double sourceDbu, double inputDbu) {
    double tooMuchDb = sourceDbu - inputDbu;
    String sum =
        signedDbu(sourceDbu)
            + " less "
            + signedDbu(inputDbu)
            + " is "
            + Figures.shortest(tooMuchDb, 2)
            + " dB";
    if (tooMuchDb <= 0) {
      return sum + ": the input takes it as it is; no pad is needed.";
    }
    int pad = UsualPads.atLeast(tooMuchDb);
    if (pad < tooMuchDb) {
      return sum
          + ": more than the largest usual pad; turn the source's output down by "
          + Figures.shortest(tooMuchDb - pad, 2)
          + " dB and use a "
          + pad
          + " dB pad.";
    }
    return sum + ": a " + pad + " dB pad fits.";
  }

  /** Which pad to take against an excess, as a sentence. */
  public static String adviceSentence(double excessDb) {
    if (!Double.isFinite(excessDb)) {
      return "How much too hot the feed was is not known; start with a 20 dB pad and measure again.";
    }
    OptionalInt pad = usualPadDb(excessDb);
    if (pad.isPresent()) {
      return "Peaks "
          + Figures.fixed(Math.abs(excessDb), 1)
          + (excessDb < 0 ? " dB below" : " dB over")
          + " the ceiling: a "
          + pad.getAsInt()
          + " dB pad brings them to "
          + Figures.fixed(pad.getAsInt() - excessDb, 1)
          + " dB below it.";
    }
    if (excessDb > 0) {
      return "Peaks "
          + Figures.fixed(excessDb, 1)
          + " dB over the ceiling are more than one usual pad takes: turn the source's output down"
          + " first.";
    }
    return "The peaks stay well below the ceiling; no pad is needed.";
  }

  /** A voltage with three significant digits in V, mV or µV. */
  public static String volts(double volts) {
    double size = Math.abs(volts);
    if (size >= 0.9995) {
      return threeDigits(volts) + " V";
    }
    return size >= 0.0009995 ? threeDigits(volts * 1e3) + " mV" : threeDigits(volts * 1e6) + " µV";
  }

  private static String signedDbu(double levelDbu) {
    String text = Figures.shortest(levelDbu, 2);
    return (levelDbu > 0 && !text.equals("0") ? "+" : "") + text + " dBu";
  }

  private static String threeDigits(double value) {
    if (value == 0 || !Double.isFinite(value)) {
      return value == 0 ? "0" : Figures.UNKNOWN;
    }
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(3));
    int whole = rounded.precision() - rounded.scale();
    return rounded.setScale(Math.max(0, 3 - whole), RoundingMode.HALF_EVEN).toPlainString();
  }
}
