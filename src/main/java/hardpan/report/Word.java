package hardpan.report;

import com.fasterxml.jackson.annotation.JsonValue;
import java.util.Locale;

/** An enumerated word of the report contract, spelled in lower case with hyphens. */
public interface Word {
  /** The constant's name, as every enum has it. */
  String name();

  /** The contract's spelling: {@code SAME_SIGNAL} is written {@code same-signal}. */
  @JsonValue
  default String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /**
   * Finds the constant with the given contract spelling.
   *
   * @throws IllegalArgumentException if the word is not one of the enumeration's
   */
  static <E extends Enum<E> & Word> E of(Class<E> type, String word) {
    for (E constant : type.getEnumConstants()) {
      if (constant.word().equals(word)) {
        return constant;
      }
    }
    throw new IllegalArgumentException(
        "\"" + word + "\" is not a word for " + type.getSimpleName().toLowerCase(Locale.ROOT));
  }
}
