package hardpan.shoot;

import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;

/**
 * What a person says about which source comes from which device; it wins over every guess.
 *
 * @param rules the first one that fits a source counts
 */
public record DeviceRules(List<Rule> rules) {
  /** Nothing is said. */
  public static final DeviceRules NONE = new DeviceRules(List.of());

  /** Copies the list. */
  public DeviceRules {
    rules = List.copyOf(rules);
  }

  /**
   * One rule.
   *
   * @param device the device's name
   * @param pattern the path of a source or of a folder in the report, with {@code *} for any
   *     characters within one name, {@code ?} for one and {@code **} for any number of folders;
   *     without a slash it fits any one name on the way, be it a folder's or the file's
   */
  public record Rule(String device, String pattern) {
    /** Neither may be blank. */
    public Rule {
      if (device.isBlank() || pattern.isBlank()) {
        throw new IllegalArgumentException("a device rule needs a name and a pattern");
      }
    }

    /**
     * A rule as it is typed: {@code NAME=PATTERN}.
     *
     * @throws IllegalArgumentException if it is not of that form
     */
    public static Rule parse(String text) {
      int equals = text.indexOf('=');
      if (equals < 0) {
        throw new IllegalArgumentException("'" + text + "' is not of the form NAME=PATTERN");
      }
      String pattern = text.substring(equals + 1).strip().replaceAll("^\\./|/+$", "");
      return new Rule(text.substring(0, equals).strip(), pattern);
    }

    /** Whether a source or a folder it lies in fits. */
    boolean fits(String path) {
      Pattern regex = regex();
      boolean oneName = pattern.indexOf('/') < 0 && !pattern.contains("**");
      for (int end = path.indexOf('/'), start = 0; ; end = path.indexOf('/', end + 1)) {
        int to = end < 0 ? path.length() : end;
        if (regex.matcher(path.substring(oneName ? start : 0, to)).matches()) {
          return true;
        }
        if (end < 0) {
          return false;
        }
        start = end + 1;
      }
    }

    private Pattern regex() {
      StringBuilder regex = new StringBuilder();
      for (int i = 0; i < pattern.length(); i++) {
        char c = pattern.charAt(i);
        if (pattern.startsWith("**/", i)) {
          regex.append("(?:.*/)?");
          i += 2;
        } else if (pattern.startsWith("**", i)) {
          regex.append(".*");
          i++;
        } else if (c == '*') {
          regex.append("[^/]*");
        } else if (c == '?') {
          regex.append("[^/]");
        } else {
          regex.append(Pattern.quote(String.valueOf(c)));
        }
      }
      return Pattern.compile(regex.toString(), Pattern.DOTALL);
    }
  }

  /** The device that is said for a path. */
  public Optional<String> deviceOf(String path) {
    return rules.stream().filter(rule -> rule.fits(path)).map(Rule::device).findFirst();
  }
}
