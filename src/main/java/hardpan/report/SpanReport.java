package hardpan.report;

/**
 * A stretch of a source in its own seconds.
 *
 * @param startSeconds first moment, at least 0, from the source's first decoded sample
 * @param endSeconds end, exclusive, at least {@code startSeconds}
 */
public record SpanReport(double startSeconds, double endSeconds) {
  /** Checks the order of the two ends. */
  public SpanReport {
    startSeconds = Numbers.notNegative(startSeconds, Numbers.SECOND, "a span's start");
    endSeconds = Numbers.notNegative(endSeconds, Numbers.SECOND, "a span's end");
    if (endSeconds < startSeconds) {
      throw new IllegalArgumentException("span ends before it starts: " + startSeconds);
    }
  }
}
