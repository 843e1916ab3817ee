package hardpan.report;

import hardpan.base.SourceClock;
import java.util.List;

/**
 * How a clock strays from the straight line of its placement: straight pieces that meet at knots.
 * Beyond the outer knots the outer pieces go on.
 *
 * @param knots both ends and where pieces meet, in order of time; at least three
 * @param residualMs spread of the single measurements about the pieces, in milliseconds
 * @param largestMs how far it goes beside the straight line at most, in milliseconds
 */
public record ClockBendReport(List<Knot> knots, double residualMs, double largestMs) {
  /** Rounds and copies. */
  public ClockBendReport {
    knots = List.copyOf(knots);
    if (knots.size() < 3) {
      throw new IllegalArgumentException("a bend has at least three knots");
    }
    residualMs = rounded(residualMs, Numbers.MILLISECOND);
    largestMs = rounded(largestMs, Numbers.MILLISECOND);
  }

  /**
   * A point of the bent line.
   *
   * @param sourceSeconds where in the source
   * @param besideSeconds to be added to the reference seconds of the straight line there
   */
  public record Knot(double sourceSeconds, double besideSeconds) {
    /** Rounds. */
    public Knot {
      sourceSeconds = rounded(sourceSeconds, Numbers.SECOND);
      besideSeconds = rounded(besideSeconds, Numbers.SECOND);
    }
  }

  /** The clock that strays so from a straight line. */
  SourceClock clock(double offsetSeconds, double driftPpm) {
    return SourceClock.bent(
        offsetSeconds,
        driftPpm,
        knots.stream().mapToDouble(Knot::sourceSeconds).toArray(),
        knots.stream().mapToDouble(Knot::besideSeconds).toArray());
  }

  private static double rounded(double value, int decimals) {
    Double kept = Numbers.orNull(value, decimals);
    if (kept == null) {
      throw new IllegalArgumentException("a bend needs finite numbers");
    }
    return kept;
  }
}
