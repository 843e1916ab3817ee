package hardpan.cli;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Takes the words of an enum in lower case, and names them when it gets another. */
abstract class WordConverter<E extends Enum<E>> implements ITypeConverter<E> {
  private final List<E> values;

  WordConverter(E[] values) {
    this.values = List.copyOf(Arrays.asList(values));
  }

  @Override
  public E convert(String text) {
    for (E value : values) {
      if (word(value).equals(text)) {
        return value;
      }
    }
    throw new TypeConversionException(
        "'" + text + "' is none of " + String.join(", ", values.stream().map(this::word).toList()));
  }

  private String word(E value) {
    return value.name().toLowerCase(Locale.ROOT);
  }
}
