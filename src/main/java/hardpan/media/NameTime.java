package hardpan.media;

import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Date and time in a file's name, by their structure alone: {@code 20260214_183005}, {@code
 * 2026-02-14 18.30.05}, {@code VID-20260214T183005Z}, {@code 260214-183005}, {@code 2026-02-14 at
 * 6.30.05 PM}. That devices name files so is common practice, no source.
 *
 * @param local date and time as written
 * @param offset UTC where a Z follows, else null
 * @param shortYear whether the year has two digits, which other numbers may look like
 */
record NameTime(LocalDateTime local, @Nullable ZoneOffset offset, boolean shortYear) {
  private static final String BEFORE = "(?<![0-9])";

  /** Four-digit year; the fields may be apart; milliseconds may follow. */
  private static final Pattern LONG =
      Pattern.compile(
          BEFORE
              + "((?:19|20)[0-9]{2})([-_. ]?)([0-9]{2})\\2([0-9]{2})"
              + "(?:[-_. Tt]{0,3}|[-_. ]at[-_. ])"
              + "([0-9]{1,2})([-_.: hH]?)([0-9]{2})[-_.: mM]?([0-9]{2})"
              + "(?:[._]?[0-9]{3})?(?![0-9])[sS]?(?:[ _]?([AaPp])[Mm](?![a-z])|(Z)(?![a-z]))?");

  private static final Pattern SHORT =
      Pattern.compile(
          BEFORE + "([0-9]{2})([0-9]{2})([0-9]{2})[-_ Tt]([0-9]{2})([0-9]{2})([0-9]{2})(?![0-9])");

  /** The first date and time in a name that the calendar has; null if there is none. */
  static @Nullable NameTime parse(String fileName) {
    Matcher match = LONG.matcher(fileName);
    for (int from = 0; match.find(from); from = match.start() + 1) {
      NameTime found = longForm(match);
      if (found != null) {
        return found;
      }
    }
    match = SHORT.matcher(fileName);
    for (int from = 0; match.find(from); from = match.start() + 1) {
      NameTime found = at(2000 + number(match, 1), match, 2, 3, number(match, 4), 5, 6, null, true);
      if (found != null) {
        return found;
      }
    }
    return null;
  }

  private static @Nullable NameTime longForm(Matcher match) {
    int hour = number(match, 5);
    // A single digit is an hour only where something stands behind it.
    if (match.group(5).length() == 1 && match.group(6).isEmpty()) {
      return null;
    }
    String half = match.group(9);
    if (half != null) {
      if (hour < 1 || hour > 12) {
        return null;
      }
      hour = hour % 12 + (half.toLowerCase(Locale.ROOT).equals("p") ? 12 : 0);
    }
    ZoneOffset offset = match.group(10) == null ? null : ZoneOffset.UTC;
    return at(number(match, 1), match, 3, 4, hour, 7, 8, offset, false);
  }

  private static @Nullable NameTime at(
      int year,
      Matcher match,
      int month,
      int day,
      int hour,
      int minute,
      int second,
      @Nullable ZoneOffset offset,
      boolean shortYear) {
    try {
      return new NameTime(
          LocalDateTime.of(
              year,
              number(match, month),
              number(match, day),
              hour,
              number(match, minute),
              number(match, second)),
          offset,
          shortYear);
    } catch (DateTimeException e) {
      return null;
    }
  }

  private static int number(Matcher match, int group) {
    return Integer.parseInt(match.group(group));
  }
}
