package hardpan.desk.model;

import hardpan.report.Report;
import hardpan.report.SourceReport;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;

/**
 * The time of day on the reference's clock.
 *
 * @param began what the reference's own clock showed at its beginning
 */
public record DayClock(LocalDateTime began) {
  private static final DateTimeFormatter SHOWN =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  /** Beyond a hundred days the first day says nothing. */
  private static final double LONGEST_SECONDS = 100 * 86_400.0;

  /** A moment that was computed lies a hair before or after its second. */
  private static final double HAIR_SECONDS = 1e-6;

  /** That of a report; empty where nobody knows when the reference began. */
  static Optional<DayClock> of(Report report) {
    String reference = report.reference();
    return reference == null
        ? Optional.empty()
        : report
            .source(reference)
            .map(SourceReport::startedAt)
            .map(moment -> new DayClock(moment.local()));
  }

  /**
   * The time of day in whole seconds, which is as finely as devices tell it.
   *
   * @param seconds a moment on the reference's clock
   * @return empty for no moment, or one that is too far away
   */
  public String words(double seconds) {
    return Math.abs(seconds) < LONGEST_SECONDS
        ? SHOWN.format(began.plusNanos((long) Math.rint((seconds + HAIR_SECONDS) * 1e9)))
        : "";
  }
}
