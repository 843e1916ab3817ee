package hardpan.report;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * One thing a file says about when it began.
 *
 * @param origin where it was found
 * @param date the day, ISO 8601; null where only a time of day is given
 * @param time the time of day, ISO 8601
 * @param offset from UTC, {@code +02:00} or {@code Z}; null where it is not known
 * @param trust how far it may be believed
 * @param raw what is written there
 * @param chosen whether the source's {@code startedAt} is taken from it
 * @param why one sentence about the trust
 */
public record StartClaimReport(
    Origin origin,
    @Nullable String date,
    String time,
    @Nullable String offset,
    Trust trust,
    String raw,
    boolean chosen,
    String why) {
  /** Checks. */
  public StartClaimReport {
    Objects.requireNonNull(origin, "origin");
    Objects.requireNonNull(time, "time");
    Objects.requireNonNull(trust, "trust");
    Objects.requireNonNull(raw, "raw");
    Objects.requireNonNull(why, "why");
  }

  /** Where a claim was found. */
  public enum Origin implements Word {
    /** Samples since midnight in the {@code bext} chunk. */
    TIME_REFERENCE,
    /** The iXML chunk. */
    IXML,
    /** Timecode. */
    TIMECODE,
    /** The maker's own key. */
    MAKER_KEY,
    /** Origination date and time of the {@code bext} chunk. */
    BEXT,
    /** The file's name. */
    FILE_NAME,
    /** The container's creation time. */
    CONTAINER,
    /** A date tag. */
    TAG,
    /** The file's time of last change. */
    FILE_MODIFIED,
    /** The file's time of creation. */
    FILE_CREATED;

    /** For sentences: by what the time is known. */
    String by() {
      return switch (this) {
        case TIME_REFERENCE, IXML, BEXT, MAKER_KEY -> "by its own clock";
        case TIMECODE -> "by its timecode";
        case FILE_NAME -> "by its file name";
        case CONTAINER -> "by its creation time";
        case TAG -> "by its date tag";
        case FILE_MODIFIED, FILE_CREATED -> "by the file's own times";
      };
    }
  }

  /** How far a claim may be believed. */
  public enum Trust implements Word {
    /** Not at all. */
    NONE,
    /** Changes on copying, or may count something else. */
    LOW,
    /** Usually right, in a zone that is not sure. */
    FAIR,
    /** Written as the recording began, to the second. */
    GOOD,
    /** Exact on the device's own clock. */
    EXACT
  }
}
