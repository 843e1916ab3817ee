package hardpan.lanes;

import hardpan.media.SourceFacts;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import org.jspecify.annotations.Nullable;

/**
 * Turns places on the reference into samples since midnight, as {@code bext} wants them.
 *
 * <p>Midnight comes from the reference's own time stamp, else from its start time, else the
 * reference counts as starting at 00:00:00. If a lane begins before that midnight, the clock of the
 * whole shoot is moved forward by full hours, so that the lanes stay together.
 */
public final class LaneClock {
  private static final double NO_DATE_HOUR = 3600;

  private final double referenceStartSeconds;
  private final @Nullable OffsetDateTime referenceStartedAt;

  private LaneClock(double referenceStartSeconds, @Nullable OffsetDateTime referenceStartedAt) {
    this.referenceStartSeconds = referenceStartSeconds;
    this.referenceStartedAt = referenceStartedAt;
  }

  /**
   * For a reference.
   *
   * @param reference facts of the reference; null if there is none
   * @param earliestSeconds earliest lane start, in reference seconds
   */
  public static LaneClock of(@Nullable SourceFacts reference, double earliestSeconds) {
    double start = 0;
    OffsetDateTime startedAt = reference == null ? null : reference.startedAt();
    Long stamp = reference == null ? null : reference.timeReferenceSamples();
    if (reference != null && stamp != null) {
      start = (double) stamp / reference.rateHz();
    } else if (startedAt != null) {
      start = startedAt.toLocalTime().toNanoOfDay() / 1e9;
    }
    while (start + earliestSeconds < 0) {
      start += NO_DATE_HOUR;
    }
    return new LaneClock(start, startedAt);
  }

  /**
   * Samples since midnight.
   *
   * @param referenceSeconds place on the reference
   * @param rateHz rate to count in
   */
  public long samplesSinceMidnight(double referenceSeconds, int rateHz) {
    return Math.max(0, Math.round((referenceStartSeconds + referenceSeconds) * rateHz));
  }

  /**
   * Date and time of a place on the reference, or null if the reference has no date.
   *
   * @param referenceSeconds place on the reference
   */
  public @Nullable LocalDateTime dateTime(double referenceSeconds) {
    if (referenceStartedAt == null) {
      return null;
    }
    long nanos = Math.round((referenceStartSeconds + referenceSeconds) * 1e9);
    return referenceStartedAt.toLocalDate().atTime(LocalTime.MIDNIGHT).plusNanos(nanos);
  }
}
