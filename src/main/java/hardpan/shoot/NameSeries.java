package hardpan.shoot;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * How far apart two file names are in a series. Devices count their files at the end of the name or
 * in the middle of it, by a chapter number before a file number, or by a letter; a first part may
 * have no number at all (common practice, no source). Only the structure of the names counts.
 */
final class NameSeries {
  private static final int MOST_STEPS = 20;
  private static final int MOST_DIGITS = 17;
  private static final int CHAPTER_DIGITS = 4;

  private static final Pattern TOKEN = Pattern.compile("[0-9]+|[^0-9]+");

  /** What the second part has behind the name of the first. */
  private static final Pattern SECOND =
      Pattern.compile("[-_. ]?\\(?(?:part|pt|p)?[-_. ]?0*([1-9][0-9]?)\\)?|[-_. ]([A-Ta-t])");

  private static final Pattern FILE_NUMBER = Pattern.compile("(.*?)([0-9]{4,})");
  private static final Pattern CHAPTER = Pattern.compile("[^0-9]*0*1");

  private NameSeries() {}

  /**
   * Steps from one name to another.
   *
   * @param before a file's name without its ending
   * @param after another one
   * @return 1 if {@code after} is the next name, n if n - 1 names lie between them, 0 if it is not
   *     a later one of the same series
   */
  static int steps(String before, String after) {
    int counted = counted(tokens(before), tokens(after));
    if (counted != 0) {
      return counted;
    }
    if (after.startsWith(before) && !before.isEmpty()) {
      Matcher second = SECOND.matcher(after.substring(before.length()));
      if (second.matches()) {
        String number = second.group(1);
        int value =
            number == null
                ? Character.toLowerCase(second.group(2).charAt(0)) - 'a'
                : Integer.parseInt(number) - 1;
        // A second part is called 1 by some and 2 by others.
        return value >= MOST_STEPS ? 0 : Math.max(1, value);
      }
    }
    return opensChapters(before, after) ? 1 : 0;
  }

  private static List<String> tokens(String name) {
    List<String> tokens = new ArrayList<>();
    Matcher matcher = TOKEN.matcher(name);
    while (matcher.find()) {
      tokens.add(matcher.group());
    }
    return tokens;
  }

  private static int counted(List<String> before, List<String> after) {
    if (before.size() != after.size()) {
      return 0;
    }
    int differing = -1;
    for (int i = 0; i < before.size(); i++) {
      if (!before.get(i).equals(after.get(i))) {
        if (differing >= 0) {
          return 0;
        }
        differing = i;
      }
    }
    if (differing < 0) {
      return 0;
    }
    String first = before.get(differing);
    String second = after.get(differing);
    boolean number = isDigit(first.charAt(0));
    if (number != isDigit(second.charAt(0))) {
      return 0;
    }
    return number ? numbers(first, second) : letters(first, second);
  }

  /** As the patterns have it: other scripts' digits count as letters of a name. */
  private static boolean isDigit(int character) {
    return character >= '0' && character <= '9';
  }

  private static int numbers(String before, String after) {
    if (before.length() > MOST_DIGITS || after.length() > MOST_DIGITS) {
      return 0;
    }
    long apart = Long.parseLong(after) - Long.parseLong(before);
    if (apart >= 1 && apart <= MOST_STEPS) {
      return (int) apart;
    }
    boolean chapters = before.length() == after.length() && before.length() >= CHAPTER_DIGITS;
    for (long place = 100; chapters && place <= apart; place *= 10) {
      if (apart % place == 0 && apart / place < 10) {
        return (int) (apart / place);
      }
    }
    return 0;
  }

  /** One letter by itself that counts on. */
  private static int letters(String before, String after) {
    if (before.length() != after.length()) {
      return 0;
    }
    int steps = 0;
    for (int i = 0; i < before.length(); i++) {
      char first = before.charAt(i);
      char second = after.charAt(i);
      if (first == second) {
        continue;
      }
      boolean alone =
          (i == 0 || !Character.isLetter(before.charAt(i - 1)))
              && (i + 1 == before.length() || !Character.isLetter(before.charAt(i + 1)));
      int apart = second - first;
      boolean sameCase = Character.isUpperCase(first) == Character.isUpperCase(second);
      if (steps != 0
          || !alone
          || !sameCase
          || !Character.isLetter(first)
          || !Character.isLetter(second)
          || apart < 1
          || apart > MOST_STEPS) {
        return 0;
      }
      steps = apart;
    }
    return steps;
  }

  /** A first part with a file number only, and its second with a chapter number before it. */
  private static boolean opensChapters(String before, String after) {
    Matcher first = FILE_NUMBER.matcher(before);
    if (!first.matches() || first.group(1).chars().anyMatch(NameSeries::isDigit)) {
      return false;
    }
    String number = first.group(2);
    return after.endsWith(number)
        && CHAPTER.matcher(after.substring(0, after.length() - number.length())).matches();
  }
}
