package hardpan.media;

import hardpan.media.StartClaim.Origin;
import hardpan.media.StartClaim.Trust;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeFormatterBuilder;
import java.time.format.ResolverStyle;
import java.time.temporal.TemporalAccessor;
import java.time.temporal.TemporalQueries;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Makes claims from what stands in a file and in its name, and says how far each is trusted. */
public final class StartClaims {
  private static final long DAY_NANOS = Duration.ofDays(1).toNanos();

  /** Two clocks of one device that differ by no more than this show the same time. */
  private static final Duration SAME = Duration.ofMinutes(2);

  private static final String NEVER_SET =
      "That is a date from before the clock was ever set, so it says nothing.";

  /** ISO 8601 with a blank for the T, any form of offset or none. */
  private static final DateTimeFormatter ANY_ISO =
      new DateTimeFormatterBuilder()
          .parseCaseInsensitive()
          .append(DateTimeFormatter.ISO_LOCAL_DATE)
          .appendPattern("['T'][' ']")
          .append(DateTimeFormatter.ISO_LOCAL_TIME)
          .optionalStart()
          .appendOffset("+HH:MM", "Z")
          .optionalEnd()
          .optionalStart()
          .appendOffset("+HHMM", "Z")
          .optionalEnd()
          .toFormatter(Locale.ROOT)
          .withResolverStyle(ResolverStyle.STRICT);

  private StartClaims() {}

  /**
   * The maker's own key, which has the camera's offset from UTC.
   *
   * @return null if the text is no date and time
   */
  static @Nullable StartClaim makerKey(String text) {
    return text(
        text,
        Origin.MAKER_KEY,
        Trust.GOOD,
        "The device wrote it with its offset from UTC; right as far as its clock was.");
  }

  /**
   * The creation time of a container, in UTC by the standard (ISO/IEC 14496-12, section 8.2.2).
   *
   * @return null if the text is no date and time
   */
  static @Nullable StartClaim container(String text) {
    return text(
        text,
        Origin.CONTAINER,
        Trust.FAIR,
        "The format means UTC, but many cameras write their local time here; some write the end.");
  }

  /** The same from a time that is parsed already. */
  static StartClaim container(OffsetDateTime time) {
    return judged(
        time.toLocalDateTime(),
        time.getOffset(),
        Origin.CONTAINER,
        Trust.FAIR,
        time.toString(),
        "The format means UTC, but many cameras write their local time here; some write the end.");
  }

  /**
   * A date tag; one without a time of day says nothing about a start.
   *
   * @return null if the text is no date and time
   */
  static @Nullable StartClaim tag(String text) {
    return text(
        text, Origin.TAG, Trust.FAIR, "A date tag; programs write it too, long after the sound.");
  }

  private static @Nullable StartClaim text(String text, Origin origin, Trust trust, String why) {
    try {
      TemporalAccessor parsed = ANY_ISO.parse(text.strip());
      return judged(
          LocalDateTime.from(parsed),
          parsed.query(TemporalQueries.offset()),
          origin,
          trust,
          text,
          why);
    } catch (DateTimeException e) {
      return null;
    }
  }

  /** {@code bext} origination date and time; EBU Tech 3285 gives them no zone. */
  static StartClaim bext(LocalDate date, LocalTime time, Origin origin) {
    return judged(
        date.atTime(time),
        null,
        origin,
        Trust.GOOD,
        date + " " + time,
        "The device's own clock, to the second; the chunk has no place for a time zone.");
  }

  /**
   * Samples since midnight, with the day of the origination date where both mean the same moment.
   *
   * @param samples 0 is what devices without a clock write, and says nothing
   * @param rateHz samples a second of the count
   * @param date origination date; null if there is none
   * @param time origination time; null if there is none
   * @return null if it says nothing
   */
  static @Nullable StartClaim sinceMidnight(
      long samples, int rateHz, @Nullable LocalDate date, @Nullable LocalTime time, Origin origin) {
    if (samples <= 0 || rateHz < 1) {
      return null;
    }
    String raw = samples + " samples since midnight at " + rateHz + " Hz";
    if (samples / rateHz >= 86_400) {
      return new StartClaim(
          null,
          LocalTime.MIDNIGHT,
          null,
          origin,
          Trust.NONE,
          raw,
          "A day has no such moment, so it says nothing.");
    }
    long nanos = Math.min(DAY_NANOS - 1, Math.round((double) samples / rateHz * 1e9));
    StartClaim claim =
        new StartClaim(
            null,
            LocalTime.ofNanoOfDay(nanos),
            null,
            origin,
            Trust.EXACT,
            raw,
            "Exact to a sample, on the device's own clock.");
    if (date == null || time == null) {
      return claim;
    }
    return dated(List.of(claim, bext(date, time, Origin.BEXT))).get(0);
  }

  /** A timecode label. */
  static StartClaim timecode(Timecode code) {
    return code.isCounterStart()
        ? new StartClaim(
            null,
            code.timeOfDay(),
            null,
            Origin.TIMECODE,
            Trust.LOW,
            code.toString(),
            "A label that cameras begin with when they count what they recorded, not the time of"
                + " day.")
        : new StartClaim(
            null,
            code.timeOfDay(),
            null,
            Origin.TIMECODE,
            Trust.EXACT,
            code.toString(),
            "Exact to a picture, on the device's own timecode, which need not be the time of day.");
  }

  /** Date and time in a file's name; null if there are none. */
  public static @Nullable StartClaim fileName(Path file) {
    Path last = file.getFileName();
    String name = last == null ? "" : last.toString();
    NameTime found = NameTime.parse(name);
    if (found == null) {
      return null;
    }
    return judged(
        found.local(),
        found.offset(),
        Origin.FILE_NAME,
        found.shortYear() ? Trust.FAIR : Trust.GOOD,
        name,
        found.shortYear()
            ? "Numbers in the file's name that are a date and a time if the year has two digits."
            : "The file's name; devices write it as they begin, and copying does not change it.");
  }

  private static StartClaim judged(
      LocalDateTime local,
      @Nullable ZoneOffset offset,
      Origin origin,
      Trust trust,
      String raw,
      String why) {
    boolean set = !isNeverSet(local.toLocalDate());
    return new StartClaim(
        local.toLocalDate(),
        local.toLocalTime(),
        offset,
        origin,
        set ? trust : Trust.NONE,
        raw,
        set ? why : NEVER_SET);
  }

  /**
   * Whether this is a day that clocks start from when nobody set them: anything before 1990 (which
   * holds the beginnings of the QuickTime count in 1904, of the Unix count in 1970 and of the FAT
   * calendar in 1980), and the turn to 2000 in any zone. Common practice, no source.
   */
  static boolean isNeverSet(LocalDate date) {
    return date.getYear() < 1990
        || date.equals(LocalDate.of(1999, 12, 31))
        || date.equals(LocalDate.of(2000, 1, 1));
  }

  /**
   * Gives claims that are exact but have no day the day of another claim that shows the same time
   * within two minutes. What shows another time keeps no day: it may count something else.
   */
  public static List<StartClaim> dated(List<StartClaim> claims) {
    List<StartClaim> result = new ArrayList<>();
    for (StartClaim claim : claims) {
      StartClaim found = claim;
      if (claim.date() == null && claim.trust() == Trust.EXACT) {
        for (StartClaim other : claims) {
          LocalDateTime local = other.local();
          if (local != null && other.trust().compareTo(Trust.FAIR) >= 0 && found.date() == null) {
            LocalDate day = nearestDay(claim.time(), local);
            Duration apart = Duration.between(day.atTime(claim.time()), local).abs();
            found = apart.compareTo(SAME) <= 0 ? claim.on(day, offsetOf(other)) : found;
          }
        }
      }
      result.add(found);
    }
    return List.copyOf(result);
  }

  /** What shows the same as a creation time makes it doubtful that this is in UTC. */
  private static @Nullable ZoneOffset offsetOf(StartClaim claim) {
    return claim.origin() == Origin.CONTAINER ? null : claim.offset();
  }

  /** The day on which a time of day is nearest to a moment; midnight may lie between them. */
  private static LocalDate nearestDay(LocalTime time, LocalDateTime moment) {
    long behind = moment.toLocalTime().toNanoOfDay() - time.toNanoOfDay();
    long days = behind > DAY_NANOS / 2 ? 1 : behind < -DAY_NANOS / 2 ? -1 : 0;
    return moment.toLocalDate().plusDays(days);
  }
}
