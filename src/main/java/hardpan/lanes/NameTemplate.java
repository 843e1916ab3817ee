package hardpan.lanes;

import java.text.Normalizer;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * How lanes' files are named: plain letters, digits, '-', '_' and '.', and fields in braces such as
 * {@code {device}_{run}_{lane}}. What comes out is a name that every usual file system takes,
 * without its ending.
 */
public final class NameTemplate {
  /** What can stand in braces, in lower case. */
  public enum Field {
    /** Name of the shoot. */
    SHOOT,
    /** Device. */
    DEVICE,
    /** Number of the run; {@code 1-7} for a file that has several. */
    RUN,
    /** Name of the lane; {@code poly} for a file of several. */
    LANE,
    /** The source's channel, from 1; {@code 1-2} for a difference, {@code all} for several. */
    CHANNEL,
    /** What the lane is; {@code poly} for several. */
    ROLE,
    /** The day on which the file begins, {@code 2026-05-16}, or {@code undated}. */
    DATE
  }

  private static final Pattern FIELD = Pattern.compile("\\{([^{}]*)\\}");
  private static final Pattern LITERAL = Pattern.compile("[A-Za-z0-9._-]*");

  /** One field's text is cut there. */
  private static final int MOST_FIELD_LETTERS = 60;

  /** File systems take 255; an ending and a number follow. */
  private static final int MOST_LETTERS = 180;

  /**
   * Names no Windows file may have, with or without an ending: Microsoft, "Naming Files, Paths, and
   * Namespaces".
   */
  private static final Pattern RESERVED =
      Pattern.compile("(con|prn|aux|nul|com[0-9]|lpt[0-9])(\\..*)?", Pattern.CASE_INSENSITIVE);

  /** Letters without a decomposition into a plain letter and a mark. */
  private static final String[][] SPELLED_OUT = {
    {"\u00df", "ss"},
    {"\u00e6", "ae"},
    {"\u00c6", "AE"},
    {"\u00f8", "o"},
    {"\u00d8", "O"},
    {"\u0153", "oe"},
    {"\u0152", "OE"},
    {"\u0142", "l"},
    {"\u0141", "L"},
  };

  /** The usual names. */
  public static final NameTemplate USUAL = parse("{device}_{run}_{lane}");

  private final String text;
  private final List<Object> parts;

  private NameTemplate(String text, List<Object> parts) {
    this.text = text;
    this.parts = List.copyOf(parts);
  }

  /**
   * Reads a template.
   *
   * @throws IllegalArgumentException with a sentence for people, if it has an unknown field, a
   *     letter that not every file system takes, or no field at all
   */
  public static NameTemplate parse(String text) {
    List<Object> parts = new ArrayList<>();
    Matcher matcher = FIELD.matcher(text);
    int done = 0;
    boolean hasField = false;
    while (matcher.find()) {
      parts.add(literal(text.substring(done, matcher.start())));
      parts.add(field(matcher.group(1)));
      hasField = true;
      done = matcher.end();
    }
    parts.add(literal(text.substring(done)));
    if (!hasField) {
      throw new IllegalArgumentException(
          "'" + text + "' names every file alike; use some of " + fields() + ".");
    }
    return new NameTemplate(text, parts);
  }

  private static String literal(String text) {
    if (!LITERAL.matcher(text).matches()) {
      throw new IllegalArgumentException(
          "'"
              + text
              + "' cannot be part of every file's name; beside fields use letters A to Z, digits,"
              + " '-', '_' and '.'.");
    }
    return text;
  }

  private static Field field(String name) {
    for (Field field : Field.values()) {
      if (word(field).equals(name)) {
        return field;
      }
    }
    throw new IllegalArgumentException("'{" + name + "}' is none of " + fields() + ".");
  }

  private static String fields() {
    List<String> words = new ArrayList<>();
    for (Field field : Field.values()) {
      words.add("{" + word(field) + "}");
    }
    return String.join(" ", words);
  }

  private static String word(Field field) {
    return field.name().toLowerCase(Locale.ROOT);
  }

  /**
   * The name, without its ending.
   *
   * @param values texts of all fields; what no file system takes is replaced
   */
  String name(Map<Field, String> values) {
    Map<Field, String> safe = new EnumMap<>(Field.class);
    values.forEach((field, value) -> safe.put(field, safe(value)));
    StringBuilder name = new StringBuilder();
    for (Object part : parts) {
      name.append(part instanceof Field field ? safe.getOrDefault(field, "x") : part);
    }
    // A leading dot hides a file, a leading dash looks like an option, Windows drops trailing dots.
    String trimmed = cut(name.toString().replaceAll("^[-._]+", ""), MOST_LETTERS);
    String whole = trimmed.isEmpty() ? "x" : trimmed;
    return RESERVED.matcher(whole).matches() ? "x-" + whole : whole;
  }

  private static String cut(String name, int most) {
    String cut = name.length() > most ? name.substring(0, most) : name;
    return cut.replaceAll("[-._]+$", "");
  }

  /** Plain letters, digits, '-' and '.'; everything else becomes '-'. */
  static String safe(String text) {
    String plain = Normalizer.normalize(text, Normalizer.Form.NFKD).replaceAll("\\p{M}+", "");
    for (String[] letter : SPELLED_OUT) {
      plain = plain.replace(letter[0], letter[1]);
    }
    String safe = plain.replaceAll("[^A-Za-z0-9.-]+", "-").replaceAll("^[-.]+", "");
    safe = cut(safe, MOST_FIELD_LETTERS);
    return safe.isEmpty() ? "x" : safe;
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof NameTemplate template && template.text.equals(text);
  }

  @Override
  public int hashCode() {
    return text.hashCode();
  }

  /** As it was given. */
  @Override
  public String toString() {
    return text;
  }
}
