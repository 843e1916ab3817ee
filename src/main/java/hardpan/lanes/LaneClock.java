package hardpan.lanes;

import hardpan.media.SourceFacts;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Turns places on the reference into samples since midnight, as {@code bext} wants them (EBU Tech
 * 3285, section 2.3: time reference).
 *
 * <p>Midnight comes from the reference's own time stamp, else from its start time, else the
 * reference counts as starting at 00:00:00. If a lane begins before that midnight, the count starts
 * from an earlier one: the midnight of the day before, or without a known time of day the full hour
 * before. Lanes that begin after the next midnight count on past 24 hours. So all lanes of a
 * hand-over keep together on one count, whatever midnight they lie around.
 */
public final class LaneClock {
  private static final double DAY_SECONDS = 86_400;
  private static final double HOUR_SECONDS = 3600;

  /** A stamp beyond this is no time of day but a broken field; lanes would lose their place. */
  private static final double LONGEST_STAMP_SECONDS = 7 * DAY_SECONDS;

  /** Reference second 0 on the count of samples. */
  private final double countAtReferenceStart;

  /** The wall clock at reference second 0, or null if unknown. */
  private final @Nullable LocalDateTime referenceStart;

  private LaneClock(double countAtReferenceStart, @Nullable LocalDateTime referenceStart) {
    this.countAtReferenceStart = countAtReferenceStart;
    this.referenceStart = referenceStart;
  }

  /**
   * For a reference and all files that shall share its clock.
   *
   * @param reference facts of the reference; null if there is none
   * @param files the files; those without a place do not matter
   */
  public static LaneClock of(@Nullable SourceFacts reference, List<PlannedFile> files) {
    double earliest = 0;
    for (PlannedFile file : files) {
      Long start = file.startFrameOnReference();
      if (start != null) {
        earliest = Math.min(earliest, (double) start / file.format().rateHz());
      }
      for (Lane lane : file.lanes()) {
        Double offset = lane.source().offsetSeconds();
        earliest = offset == null ? earliest : Math.min(earliest, offset);
      }
    }
    return of(reference, earliest);
  }

  /**
   * For a reference.
   *
   * @param reference facts of the reference; null if there is none
   * @param earliestSeconds earliest lane start, in reference seconds
   */
  static LaneClock of(@Nullable SourceFacts reference, double earliestSeconds) {
    LocalDateTime startedAt = reference == null ? null : reference.startedAt();
    Double stamp = reference == null ? null : stampSeconds(reference);
    double start = 0;
    if (stamp != null) {
      start = stamp;
    } else if (startedAt != null) {
      start = startedAt.toLocalTime().toNanoOfDay() / 1e9;
    }
    LocalDateTime wall = null;
    if (startedAt != null) {
      wall = startedAt.toLocalDate().atTime(LocalTime.MIDNIGHT).plusNanos(Math.round(start * 1e9));
    }
    double step = stamp == null && startedAt == null ? HOUR_SECONDS : DAY_SECONDS;
    double back = Math.max(0, Math.ceil(-(start + earliestSeconds) / step));
    return new LaneClock(start + back * step, wall);
  }

  private static @Nullable Double stampSeconds(SourceFacts reference) {
    Long stamp = reference.timeReferenceSamples();
    double seconds = stamp == null ? -1 : (double) stamp / reference.rateHz();
    return seconds < 0 || seconds > LONGEST_STAMP_SECONDS ? null : (Double) seconds;
  }

  /**
   * Samples since midnight.
   *
   * @param referenceSeconds place on the reference
   * @param rateHz rate to count in
   */
  public long samplesSinceMidnight(double referenceSeconds, int rateHz) {
    return Math.max(0, Math.round((countAtReferenceStart + referenceSeconds) * rateHz));
  }

  /**
   * Date and time of a place on the reference, or null if the reference has no date.
   *
   * @param referenceSeconds place on the reference
   */
  public @Nullable LocalDateTime dateTime(double referenceSeconds) {
    return referenceStart == null
        ? null
        : referenceStart.plusNanos(Math.round(referenceSeconds * 1e9));
  }

  /** When a source began: by its place, else by what it says itself; null if nobody knows. */
  @Nullable LocalDateTime startOf(LaneSource source) {
    Double offset = source.offsetSeconds();
    if (offset != null) {
      // A place is never exact; a nanosecond early must not become a second.
      int rateHz = source.facts().rateHz();
      return dateTime(Math.rint(offset * rateHz) / rateHz);
    }
    return source.facts().startedAt();
  }
}
