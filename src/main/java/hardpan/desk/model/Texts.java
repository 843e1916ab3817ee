package hardpan.desk.model;

import java.util.Locale;
import java.util.ResourceBundle;

/** Every word of the window that does not come from the report. */
public final class Texts {
  private static final ResourceBundle BUNDLE =
      ResourceBundle.getBundle("hardpan.desk.texts", Locale.ROOT);

  private Texts() {}

  /**
   * A text.
   *
   * @param key its name in {@code texts.properties}
   * @param values what fills its places, as {@link String#format} takes them
   * @throws java.util.MissingResourceException if there is no such text
   */
  public static String of(String key, Object... values) {
    String text = BUNDLE.getString(key);
    return values.length == 0 ? text : String.format(Locale.ROOT, text, values);
  }

  /** Whether there is such a text. */
  static boolean has(String key) {
    return BUNDLE.containsKey(key);
  }

  /** {@code 1 fault}, {@code 3 faults}: the key's {@code .one} or {@code .many}. */
  static String count(String key, long number) {
    return of(key + (number == 1 ? ".one" : ".many"), number);
  }
}
