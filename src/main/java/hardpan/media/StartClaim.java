package hardpan.media;

import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * One thing a file says about when it began. A hint only: clocks of cameras are wrong and zones are
 * mixed up as a rule, so nothing is ever refused or moved by it.
 *
 * @param date the day; null where the place gives a time of day only
 * @param time the time of day
 * @param offset from UTC; null where the place does not say
 * @param origin where in the file or beside it this was found
 * @param trust how far it may be believed
 * @param raw what is written there, as it is written
 * @param why one sentence: what the trust rests on
 */
public record StartClaim(
    @Nullable LocalDate date,
    LocalTime time,
    @Nullable ZoneOffset offset,
    Origin origin,
    Trust trust,
    String raw,
    String why) {

  /** Where a claim was found. Of claims trusted alike the one whose origin comes first is taken. */
  public enum Origin {
    /** {@code bext} samples since midnight (EBU Tech 3285). */
    TIME_REFERENCE,
    /** The time stamp of an iXML chunk. */
    IXML,
    /** A timecode track or label (SMPTE ST 12-1). */
    TIMECODE,
    /** The maker's own key, with an offset from UTC. */
    MAKER_KEY,
    /** {@code bext} origination date and time. */
    BEXT,
    /** A date and a time in the file's name. */
    FILE_NAME,
    /** The creation time of the container. */
    CONTAINER,
    /** A date tag (ID3, Vorbis comment and the like). */
    TAG,
    /** The file's time of last change less its length. */
    FILE_MODIFIED,
    /** The file's time of creation. */
    FILE_CREATED
  }

  /** How far a claim may be believed, least first. */
  public enum Trust {
    /** Not at all: the clock was never set, or the time is that of a copy. */
    NONE,
    /** Changes when a file is copied, or may count something else than the time of day. */
    LOW,
    /** Usually right, in a zone that is not sure. */
    FAIR,
    /** Written by the device as the recording began, to the second. */
    GOOD,
    /** Exact to a sample or a picture, on the device's own clock. */
    EXACT
  }

  /** Least trust that a file's start is taken from. */
  private static final Trust LEAST = Trust.FAIR;

  /** Day and time as the device's clock showed them; null without a day. */
  public @Nullable LocalDateTime local() {
    return date == null ? null : date.atTime(time);
  }

  /** The same with another trust. */
  public StartClaim trusted(Trust other, String reason) {
    return new StartClaim(date, time, offset, origin, other, raw, reason);
  }

  /** The same on another day and with another offset. */
  StartClaim on(@Nullable LocalDate day, @Nullable ZoneOffset fromUtc) {
    return new StartClaim(day, time, fromUtc, origin, trust, raw, why);
  }

  /**
   * The claim a file's start is taken from: of those with a day that are trusted {@link Trust#FAIR}
   * or better the one trusted most, of equal ones that whose {@link Origin} comes first, of those
   * the first. The file's own times in the directory are never good enough.
   */
  public static Optional<StartClaim> best(List<StartClaim> claims) {
    return claims.stream()
        .filter(claim -> claim.date != null && claim.trust.compareTo(LEAST) >= 0)
        .min(Comparator.comparing(StartClaim::trust).reversed().thenComparing(StartClaim::origin));
  }
}
