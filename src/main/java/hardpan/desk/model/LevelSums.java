package hardpan.desk.model;

import hardpan.report.MinusSigns;
import hardpan.report.PadSums;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;

/** Which pad fits between a line output and a camera's input, from what a person types. */
public final class LevelSums {
  /** No level or attenuation in this trade is larger. */
  private static final double LARGEST_DB = 100;

  private LevelSums() {}

  /**
   * The sums as sentences.
   *
   * @param source level of the source, such as {@code 4} in dBu or {@code -10dBV}; blank for a
   *     console's line output
   * @param input level that the input takes, written likewise; blank if not known
   * @param excess by how many dB a clip was too hot; blank if not known
   * @return what to take, or what cannot be read
   */
  public static List<String> of(String source, String input, String excess) {
    try {
      double sourceDbu = source.isBlank() ? PadSums.LINE_LEVEL_DBU : level(source);
      Double inputDbu = input.isBlank() ? null : (Double) level(input);
      Double excessDb = excess.isBlank() ? null : (Double) decibels(excess);
      return sentences(sourceDbu, inputDbu, excessDb).stream().map(MinusSigns::in).toList();
    } catch (IllegalArgumentException e) {
      return List.of(String.valueOf(e.getMessage()));
    }
  }

  private static List<String> sentences(
      double sourceDbu, @Nullable Double inputDbu, @Nullable Double excessDb) {
    List<String> sentences = new ArrayList<>();
    OptionalInt pad = OptionalInt.empty();
    if (excessDb != null) {
      sentences.add(PadSums.adviceSentence(excessDb));
      pad = PadSums.usualPadDb(excessDb);
    }
    if (inputDbu != null) {
      sentences.add(PadSums.inputSentence(sourceDbu, inputDbu));
      pad = excessDb == null ? PadSums.inputPadDb(sourceDbu, inputDbu) : pad;
    }
    if (excessDb == null && inputDbu == null) {
      sentences.add(Texts.of("pad.not-enough"));
    } else if (pad.isPresent()) {
      sentences.add(PadSums.sentence(sourceDbu, pad.getAsInt()));
    }
    return sentences;
  }

  private static double level(String text) {
    return within(text, PadSums.dbuFromText(text.replace('\u2212', '-')));
  }

  private static double decibels(String text) {
    String plain = text.strip().replace('\u2212', '-').replaceAll(" ?dB$", "");
    if (!plain.matches("[+-]?[0-9]{1,3}(\\.[0-9]{1,3})?")) {
      throw new IllegalArgumentException(Texts.of("pad.misread", text));
    }
    return within(text, Double.parseDouble(plain));
  }

  private static double within(String text, double value) {
    if (!(Math.abs(value) <= LARGEST_DB)) {
      throw new IllegalArgumentException(Texts.of("pad.range", text));
    }
    return value;
  }
}
