package hardpan.report;

import com.fasterxml.jackson.annotation.JsonCreator;
import com.fasterxml.jackson.annotation.JsonValue;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * What a clock showed.
 *
 * @param local day and time
 * @param offset from UTC; null where it is not known
 */
public record Moment(LocalDateTime local, @Nullable ZoneOffset offset) {
  private static final DateTimeFormatter SHOWN =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

  /** A moment with its offset. */
  public static Moment of(OffsetDateTime time) {
    return new Moment(time.toLocalDateTime(), time.getOffset());
  }

  /**
   * Reads what {@link #text} writes.
   *
   * @throws IllegalArgumentException if it is no ISO 8601 date and time
   */
  @JsonCreator
  public static Moment parse(String text) {
    try {
      if (text.matches(".*T.*(Z|[+-][0-9:]+)")) {
        return of(OffsetDateTime.parse(text));
      }
      return new Moment(LocalDateTime.parse(text), null);
    } catch (DateTimeParseException e) {
      throw new IllegalArgumentException(text + " is not an ISO 8601 time", e);
    }
  }

  /** ISO 8601 with seconds, and with the offset if it is known. */
  @JsonValue
  public String text() {
    String time = DateTimeFormatter.ISO_LOCAL_DATE_TIME.format(local);
    return offset == null ? time : time + offset.getId();
  }

  /** For reading. */
  String shown() {
    return SHOWN.format(local)
        + (offset == null ? "" : offset.equals(ZoneOffset.UTC) ? " UTC" : " " + offset.getId());
  }
}
