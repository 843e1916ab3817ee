package hardpan.lineup;

import hardpan.signal.LeastSquares;
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
  private static final double LEAST_SECONDS = 600;

  private static final int LEAST_POINTS = 12;
  private static final int LEAST_IN_PIECE = 4;
  private static final int MOST_KNOTS = 3;

  /**
   * A knot must lower the sum of squares, in units of the noise, by so much. For normal noise of
   * known size the fall is distributed as chi square with two or three degrees of freedom; the
   * noise is known from the same few points only and some hear an echo, so much more is asked for.
   */
  private static final double LEAST_FALL = 80;

  /** What one point can add to the sum at most. */
  private static final double MOST_OF_A_POINT = 16;

  /** The pieces must explain the points down to their noise, in units of it squared. */
  private static final double WELL_EXPLAINED = 3;

  private static final double LEAST_BEND_SECONDS = 50e-6;
  private static final double LEAST_NOISE_SECONDS = 2e-6;
  private static final int ROUNDS = 4;

  /** A knot's place is sought to this share of the time between two windows. */
  private static final double FINEST_SHARE = 0.004;

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

  /** A line of pieces and the sum of squares it leaves. */
  private record Pieces(double[] times, double[] values, double sum) {
    double at(double seconds) {
      return value(times, values, seconds);
    }
  }

  /** How far beside the straight line the clock is; beyond the ends the outer pieces go on. */
  public double besideSeconds(double sourceSeconds) {
    return value(
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
    double noise = noise(seconds, beside);
    Pieces best = fitted(seconds, beside, noise, new double[] {seconds[0], seconds[count - 1]});
    boolean isBent = false;
    for (int knots = 1; knots <= MOST_KNOTS; knots++) {
      Pieces next = null;
      for (int i = LEAST_IN_PIECE; i <= count - LEAST_IN_PIECE; i++) {
        double gap = seconds[i] - seconds[i - 1];
        double at = (seconds[i - 1] + seconds[i]) / 2;
        Pieces tried = fitted(seconds, beside, noise, with(best.times, at));
        for (double step = gap / 4; step > FINEST_SHARE * gap; step /= 2) {
          for (double side : new double[] {at - step, at + step}) {
            Pieces moved = fitted(seconds, beside, noise, with(best.times, side));
            if (moved.sum < tried.sum) {
              tried = moved;
              at = side;
            }
          }
        }
        if (isFilled(tried.times, seconds)) {
          next = next == null || tried.sum < next.sum ? tried : next;
        }
      }
      if (next == null || best.sum - next.sum < LEAST_FALL) {
        break;
      }
      best = next;
      isBent = true;
    }
    double largest = Arrays.stream(best.values).map(Math::abs).max().orElse(0);
    double[] rest = new double[count];
    for (int i = 0; i < count; i++) {
      rest[i] = beside[i] - best.at(seconds[i]);
    }
    double limit = OFF * noise;
    long off = Arrays.stream(rest).filter(x -> Math.abs(x) > limit).count();
    if (!isBent
        || largest < LEAST_BEND_SECONDS
        || off > MOST_OFF_SHARE * count
        || best.sum > WELL_EXPLAINED * count) {
      return null;
    }
    List<Knot> found = new ArrayList<>();
    for (int i = 0; i < best.times.length; i++) {
      found.add(new Knot(best.times[i], best.values[i]));
    }
    return new ClockBend(found, 1000 * Statistics.robustDeviation(rest), 1000 * largest);
  }

  /**
   * Scatter of single points, from each one's distance to the line through its neighbours, so that
   * what goes slowly does not count.
   */
  private static double noise(double[] seconds, double[] beside) {
    double[] off = new double[seconds.length - 2];
    for (int i = 1; i + 1 < seconds.length; i++) {
      double width = seconds[i + 1] - seconds[i - 1];
      double share = width > 0 ? (seconds[i] - seconds[i - 1]) / width : 0.5;
      double between = beside[i - 1] + share * (beside[i + 1] - beside[i - 1]);
      off[i - 1] = (beside[i] - between) / Math.sqrt(1 + share * share + (1 - share) * (1 - share));
    }
    return Math.max(LEAST_NOISE_SECONDS, Statistics.robustDeviation(off));
  }

  private static double[] with(double[] times, double more) {
    double[] all = Arrays.copyOf(times, times.length + 1);
    all[times.length] = more;
    Arrays.sort(all);
    return all;
  }

  /** Whether enough points lie in every piece. */
  private static boolean isFilled(double[] times, double[] seconds) {
    for (int piece = 0; piece + 1 < times.length; piece++) {
      double from = times[piece];
      double to = times[piece + 1];
      if (Arrays.stream(seconds).filter(x -> x >= from && x <= to).count() < LEAST_IN_PIECE) {
        return false;
      }
    }
    return true;
  }

  /** The best values at given knots; points far off lose weight (Huber's weights). */
  private static Pieces fitted(double[] seconds, double[] beside, double noise, double[] times) {
    double[] weights = new double[seconds.length];
    Arrays.fill(weights, 1);
    double[] values = new double[times.length];
    for (int round = 0; round < ROUNDS; round++) {
      LeastSquares solution = new LeastSquares(times.length);
      for (int i = 0; i < seconds.length; i++) {
        int piece = piece(times, seconds[i]);
        double share = (seconds[i] - times[piece]) / (times[piece + 1] - times[piece]);
        solution.add(
            new int[] {piece, piece + 1},
            new double[] {1 - share, share},
            beside[i],
            noise / Math.sqrt(weights[i]));
      }
      solution.solve();
      for (int k = 0; k < values.length; k++) {
        values[k] = solution.value(k);
      }
      for (int i = 0; i < seconds.length; i++) {
        double off = Math.abs(beside[i] - value(times, values, seconds[i])) / noise;
        weights[i] = off <= 2.5 ? 1 : 2.5 / off;
      }
    }
    double sum = 0;
    for (int i = 0; i < seconds.length; i++) {
      double off = (beside[i] - value(times, values, seconds[i])) / noise;
      sum += Math.min(MOST_OF_A_POINT, off * off);
    }
    return new Pieces(times, values, sum);
  }

  private static int piece(double[] times, double seconds) {
    int piece = 0;
    while (piece + 2 < times.length && seconds > times[piece + 1]) {
      piece++;
    }
    return piece;
  }

  private static double value(double[] times, double[] values, double seconds) {
    int piece = piece(times, seconds);
    double share = (seconds - times[piece]) / (times[piece + 1] - times[piece]);
    return values[piece] + share * (values[piece + 1] - values[piece]);
  }
}
