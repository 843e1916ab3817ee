package hardpan.cli;

import hardpan.report.PadSums;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** An electrical level in dBu, given in dBu, dBV, volts or millivolts. */
final class LevelConverter implements ITypeConverter<Double> {
  @Override
  public Double convert(String text) {
    try {
      return PadSums.dbuFromText(text);
    } catch (IllegalArgumentException e) {
      throw new TypeConversionException(String.valueOf(e.getMessage()));
    }
  }
}
