package hardpan.cli;

import hardpan.report.PadSums;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** An electrical level in dBu, given in dBu, dBV, volts or millivolts. */
final class LevelConverter implements ITypeConverter<Double> {
  private static final Pattern LEVEL =
      Pattern.compile("([+-]?[0-9]{1,9}(?:\\.[0-9]{1,9})?) ?(dBu|dBV|V|mV)?");

  @Override
  public Double convert(String text) {
    Matcher parts = LEVEL.matcher(text);
    if (!parts.matches()) {
      throw new TypeConversionException(
          "'" + text + "' is not a level; write dBu as in 4, or -10dBV, 1.2V, 200mV");
    }
    double value = Double.parseDouble(parts.group(1));
    String unit = parts.group(2) == null ? "dBu" : parts.group(2);
    double dbu =
        switch (unit) {
          case "dBV" -> PadSums.dbuFromDbv(value);
          case "V" -> PadSums.dbuFromVolts(value);
          case "mV" -> PadSums.dbuFromVolts(value / 1000);
          default -> value;
        };
    if (!Double.isFinite(dbu)) {
      throw new TypeConversionException("'" + text + "' is not a level; volts must be above 0");
    }
    return dbu;
  }
}
