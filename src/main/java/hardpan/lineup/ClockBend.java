package hardpan.lineup;

import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How a clock strays from the straight line of its place: a continuous line of few straight pieces,
 * as a crystal that warms up draws it.
 *
 * @param knots where the pieces meet, and both ends, in order of time; at least three
 * @param residualMs scatter of the windows about it in milliseconds
 * @param largestMs how far it goes beside the straight line at most, in milliseconds
 */
public record ClockBend(List<Knot> knots, double residualMs, double largestMs) {
  /** Shorter sources show no bend that would matter. */
  static final double LEAST_SECONDS = 600;

  private static final int LEAST_POINTS = 12;
  private static final double LEAST_BEND_SECONDS = 50e-6;

  /** The pieces explain the points down to their noise: the sum over it squared, a point. */
  private static final double WELL_EXPLAINED = 3;

  /** Or they leave no more than this, as a smooth course seen by fine windows does, ... */
  private static final double CLOSE_SECONDS = 50e-6;

  /** ... and no more than this share of what the straight line left. */
  private static final double CLOSE_SHARE = 0.2;

  /** Points farther off than this, in units of the noise, the pieces do not explain. */
  private static final double OFF = 4;

  private static final double MOST_OFF_SHARE = 0.05;

  /** Copies the list. */
  public ClockBend {
    knots = List.copyOf(knots);
  }

  /**
   * A point of the bent line.
   *
   * @param sourceSeconds where in the source
   * @param besideSeconds reference seconds there less those of the straight line
   */
  public record Knot(double sourceSeconds, double besideSeconds) {}

  /** How far beside the straight line the clock is; beyond the ends the outer pieces go on. */
  public double besideSeconds(double sourceSeconds) {
    return BendFit.value(
        knots.stream().mapToDouble(Knot::sourceSeconds).toArray(),
        knots.stream().mapToDouble(Knot::besideSeconds).toArray(),
        sourceSeconds);
  }

  /**
   * The same clock beside another straight line.
   *
   * @param seconds what the line it was measured beside has more at the source's second 0
   * @param slope and by how much that grows in a second of the source
   */
  ClockBend besideOther(double seconds, double slope) {
    List<Knot> moved = new ArrayList<>();
    double largest = 0;
    for (Knot knot : knots) {
      double beside = knot.besideSeconds() + seconds + slope * knot.sourceSeconds();
      moved.add(new Knot(knot.sourceSeconds(), beside));
      largest = Math.max(largest, Math.abs(beside));
    }
    return new ClockBend(moved, residualMs, 1000 * largest);
  }

  /**
   * Looks for a bend that the windows prove.
   *
   * @param seconds middles of the windows in the source, ascending
   * @param beside their distances from the straight line, in seconds
   * @return null if a straight line is all that can be proved
   */
  static @Nullable ClockBend of(double[] seconds, double[] beside) {
    int count = seconds.length;
    if (count < LEAST_POINTS || seconds[count - 1] - seconds[0] < LEAST_SECONDS) {
      return null;
    }
    BendFit fit = new BendFit(seconds, beside);
    BendFit.Pieces best = fit.bent();
    double largest = Arrays.stream(best.values()).map(Math::abs).max().orElse(0);
    if (best.knots() == 0 || largest < LEAST_BEND_SECONDS) {
      return null;
    }
    double[] rest = fit.rest(best);
    double scatter = Statistics.robustDeviation(rest);
    boolean isExplained = isExplained(rest, fit.noise(), OFF * fit.noise(), WELL_EXPLAINED);
    boolean isClose =
        scatter <= CLOSE_SECONDS
            && scatter <= CLOSE_SHARE * Statistics.robustDeviation(fit.rest(fit.straight()))
            && isExplained(rest, CLOSE_SECONDS, OFF * CLOSE_SECONDS, 1);
    if (!(isExplained || isClose) || fit.isRatherStep(best)) {
      return null;
    }
    List<Knot> found = new ArrayList<>();
    for (int i = 0; i < best.times().length; i++) {
      found.add(new Knot(best.times()[i], best.values()[i]));
    }
    return new ClockBend(found, 1000 * scatter, 1000 * largest);
  }

  /**
   * Whether nearly no point lies too far off and the sum of squares, to which a point adds so much
   * at most, is no larger than a noise would leave.
   */
  private static boolean isExplained(double[] rest, double noise, double farthest, double most) {
    double sum = 0;
    int off = 0;
    for (double distance : rest) {
      double size = Math.min(Math.abs(distance), farthest) / noise;
      sum += size * size;
      off += Math.abs(distance) > farthest ? 1 : 0;
    }
    return off <= MOST_OFF_SHARE * rest.length && sum <= most * rest.length;
  }
}
