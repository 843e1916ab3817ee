package hardpan.lineup;

import hardpan.signal.LeastSquares;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Lays continuous lines of straight pieces through the windows of a clock, adding knot after knot
 * as long as each one is proved.
 */
final class BendFit {
  /** Some dozens of windows show no more. */
  static final int MOST_KNOTS = 8;

  static final int LEAST_IN_PIECE = 4;

  /**
   * A knot must lower the sum of squares, in units of the noise, by so much. For normal noise of
   * known size the fall is distributed as chi square with two or three degrees of freedom; the
   * noise is known from the same few points only and some hear an echo, so much more is asked for.
   */
  private static final double LEAST_FALL = 80;

  /** A point farther off than this, in units of the present scatter, adds no more to the sum. */
  private static final double FARTHEST = 4;

  /** A step is the better story even if it leaves a little more, in units of the noise squared. */
  private static final double FOR_STEPS = 25;

  /** A smaller step does no harm, unless it is most of the bend: half of it is the error. */
  private static final double LEAST_STEP_SECONDS = 50e-6;

  private static final double MOST_OF_BEND = 0.5;

  /** A step beside all the knots that leaves less than this share is one too. */
  private static final double STEP_EXPLAINS = 0.5;

  private static final double LEAST_NOISE_SECONDS = 2e-6;
  private static final double HUBER = 2.5;
  private static final int ROUNDS = 4;

  /** A knot's place is sought to this share of the time between two windows. */
  private static final double FINEST_SHARE = 0.004;

  private static final int GAPS_REFINED = 3;

  private static final int SETTLING_GAPS = 4;
  private static final int SETTLING_ROUNDS = 2;

  /** Places where a step is tried. */
  private static final int STEPS_TRIED = 3;

  private final double[] seconds;
  private final double[] beside;
  private final double noise;

  /**
   * For windows.
   *
   * @param seconds their middles in the source, ascending, no two alike, at least three
   * @param beside their distances from a straight line, in seconds
   */
  BendFit(double[] seconds, double[] beside) {
    this.seconds = seconds;
    this.beside = beside;
    this.noise = noise(seconds, beside);
  }

  /**
   * A line of pieces.
   *
   * @param times of its knots and both ends
   * @param values beside the straight line there
   * @param stepAt where it jumps; null if nowhere
   * @param step by how much
   * @param sum of squares it leaves, in units of the noise
   */
  record Pieces(double[] times, double[] values, @Nullable Double stepAt, double step, double sum) {
    double at(double seconds) {
      return value(times, values, seconds) + (stepAt != null && seconds > stepAt ? step : 0);
    }

    int knots() {
      return times.length - 2;
    }
  }

  /** Scatter of single windows in seconds, whatever the course. */
  double noise() {
    return noise;
  }

  /** The line without knots. */
  Pieces straight() {
    double[] ends = {seconds[0], seconds[seconds.length - 1]};
    return fitted(ends, null, scale(fitted(ends, null, noise)));
  }

  /** What is left beside a line, in seconds. */
  double[] rest(Pieces pieces) {
    double[] rest = new double[seconds.length];
    for (int i = 0; i < rest.length; i++) {
      rest[i] = beside[i] - pieces.at(seconds[i]);
    }
    return rest;
  }

  /** As many knots as are proved. */
  Pieces bent() {
    return pruned(grown(straight(), MOST_KNOTS));
  }

  /** Without the knots that later ones made superfluous. */
  private Pieces pruned(Pieces pieces) {
    Pieces best = pieces;
    while (best.knots() > 1) {
      double scale = scale(best);
      Pieces fewer = null;
      for (int knot = 1; knot <= best.knots(); knot++) {
        Pieces tried = settled(fitted(without(best.times, knot), null, scale), scale);
        fewer = fewer == null || tried.sum < fewer.sum ? tried : fewer;
      }
      if (fewer == null || fewer.sum - fitted(best.times, null, scale).sum >= LEAST_FALL) {
        break;
      }
      best = fewer;
    }
    return best;
  }

  /**
   * Whether a line with a jump instead of one of the knots says the same or more. Another speaker
   * who takes over elsewhere, or a camera that loses frames, is no bend.
   */
  boolean isRatherStep(Pieces bent) {
    double[] ends = {seconds[0], seconds[seconds.length - 1]};
    double scale = scale(bent);
    double sum = fitted(bent.times, null, scale).sum;
    double largest = Arrays.stream(bent.values).map(Math::abs).max().orElse(0);
    double leastStep = Math.min(LEAST_STEP_SECONDS, MOST_OF_BEND * largest);
    double most = Math.min(STEP_EXPLAINS * sum, sum - LEAST_FALL);
    if (hasStep(bent.times, scale, leastStep, most)) {
      return true;
    }
    for (double stepAt : likelySteps(ends)) {
      Pieces stepped = fitted(ends, stepAt, noise);
      stepped = grown(fitted(ends, stepAt, scale(stepped)), bent.knots() - 1);
      if (hasStep(stepped.times, scale, leastStep, sum + FOR_STEPS)) {
        return true;
      }
    }
    for (int knot = 1; knot < bent.knots(); knot++) {
      // The piece between two knots may stand for a step, and one knot be better used elsewhere.
      double[] others = without(without(bent.times, knot), knot);
      double from = bent.times[knot];
      double to = bent.times[knot + 1];
      Pieces stepped = null;
      for (double gap : gaps()) {
        if (gap > from && gap < to) {
          Pieces tried = fitted(others, gap, scale);
          stepped = stepped == null || tried.sum < stepped.sum ? tried : stepped;
        }
      }
      Pieces more = stepped == null ? null : withOneMore(stepped, scale);
      if (more != null && hasStep(more.times, scale, leastStep, sum + FOR_STEPS)) {
        return true;
      }
    }
    return false;
  }

  /** Whether there is a place for a step of some size that leaves no more than a sum. */
  private boolean hasStep(double[] times, double scale, double leastStep, double mostSum) {
    for (double gap : gaps()) {
      Pieces stepped = fitted(times, gap, scale);
      if (stepped.sum <= mostSum && Math.abs(stepped.step) >= leastStep) {
        return true;
      }
    }
    return false;
  }

  /** Places where a step alone explains most, and where neighbours differ most. */
  private List<Double> likelySteps(double[] ends) {
    List<Double> gaps = gaps();
    List<Double> byJump = new ArrayList<>(gaps);
    byJump.sort(Comparator.comparingDouble(this::jump).reversed());
    List<Double> likely = new ArrayList<>(byJump.subList(0, Math.min(STEPS_TRIED, gaps.size())));
    gaps.stream()
        .min(Comparator.comparingDouble(gap -> fitted(ends, gap, noise).sum))
        .filter(gap -> !likely.contains(gap))
        .ifPresent(likely::add);
    return likely;
  }

  private double jump(double gap) {
    int after = 0;
    while (seconds[after] <= gap) {
      after++;
    }
    int from = Math.max(0, after - LEAST_IN_PIECE);
    int to = Math.min(seconds.length, after + LEAST_IN_PIECE);
    return Math.abs(
        Statistics.median(Arrays.copyOfRange(beside, after, to))
            - Statistics.median(Arrays.copyOfRange(beside, from, after)));
  }

  /** Middles between windows with enough of them to either side. */
  private List<Double> gaps() {
    List<Double> gaps = new ArrayList<>();
    for (int i = 2; i <= seconds.length - 2; i++) {
      gaps.add((seconds[i - 1] + seconds[i]) / 2);
    }
    return gaps;
  }

  private Pieces grown(Pieces from, int mostKnots) {
    Pieces best = from;
    while (best.knots() < mostKnots) {
      double scale = scale(best);
      Pieces next = withOneMore(best, scale);
      double before = fitted(best.times, best.stepAt, scale).sum;
      if (next == null || before - next.sum < LEAST_FALL) {
        break;
      }
      best = next;
    }
    return best;
  }

  /** The best line with one knot more; null if none leaves every piece enough windows. */
  private @Nullable Pieces withOneMore(Pieces pieces, double scale) {
    record Tried(Pieces pieces, double at, double gap) {}
    List<Tried> tried = new ArrayList<>();
    for (int i = LEAST_IN_PIECE; i <= seconds.length - LEAST_IN_PIECE; i++) {
      double at = (seconds[i - 1] + seconds[i]) / 2;
      double[] times = with(pieces.times, at);
      if (isFilled(times)) {
        tried.add(new Tried(fitted(times, pieces.stepAt, scale), at, seconds[i] - seconds[i - 1]));
      }
    }
    tried.sort(Comparator.comparingDouble(one -> one.pieces.sum));
    Pieces best = null;
    for (Tried one : tried.subList(0, Math.min(GAPS_REFINED, tried.size()))) {
      int knot = Arrays.binarySearch(one.pieces.times, one.at);
      Pieces refined = moved(one.pieces, knot, one.gap / 4, one.gap, scale);
      best = best == null || refined.sum < best.sum ? refined : best;
    }
    return best == null ? null : settled(best, scale);
  }

  /** Every knot moved to where the sum is least, the others held. */
  private Pieces settled(Pieces pieces, double scale) {
    Pieces best = pieces;
    double gap = (seconds[seconds.length - 1] - seconds[0]) / (seconds.length - 1);
    for (int round = 0; round < SETTLING_ROUNDS && best.knots() > 1; round++) {
      for (int knot = 1; knot <= best.knots(); knot++) {
        best = moved(best, knot, SETTLING_GAPS * gap, gap, scale);
      }
    }
    return best;
  }

  private Pieces moved(Pieces pieces, int knot, double firstStep, double gap, double scale) {
    Pieces best = pieces;
    for (double step = firstStep; step > FINEST_SHARE * gap; step /= 2) {
      double at = best.times[knot];
      for (double side : new double[] {at - step, at + step}) {
        double[] times = best.times.clone();
        times[knot] = side;
        if (isFilled(times)) {
          Pieces other = fitted(times, pieces.stepAt, scale);
          best = other.sum < best.sum ? other : best;
        }
      }
    }
    return best;
  }

  private double scale(Pieces pieces) {
    return Math.max(noise, Statistics.robustDeviation(rest(pieces)));
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

  private static double[] without(double[] times, int knot) {
    double[] rest = Arrays.copyOf(times, times.length - 1);
    System.arraycopy(times, knot + 1, rest, knot, rest.length - knot);
    return rest;
  }

  /** Whether the knots are in order and enough points lie in every piece. */
  private boolean isFilled(double[] times) {
    for (int piece = 0; piece + 1 < times.length; piece++) {
      double from = times[piece];
      double to = times[piece + 1];
      int inside = 0;
      for (double at : seconds) {
        inside += at >= from && at <= to ? 1 : 0;
      }
      if (inside < LEAST_IN_PIECE) {
        return false;
      }
    }
    return true;
  }

  /**
   * The best values at given knots; points far off lose weight (Huber's weights).
   *
   * @param scale what counts as far, in seconds
   */
  private Pieces fitted(double[] times, @Nullable Double stepAt, double scale) {
    double[] weights = new double[seconds.length];
    Arrays.fill(weights, 1);
    int unknowns = times.length + (stepAt == null ? 0 : 1);
    Pieces pieces = new Pieces(times, new double[times.length], stepAt, 0, 0);
    for (int round = 0; round < ROUNDS; round++) {
      LeastSquares solution = new LeastSquares(unknowns);
      for (int i = 0; i < seconds.length; i++) {
        int piece = piece(times, seconds[i]);
        double share = (seconds[i] - times[piece]) / (times[piece + 1] - times[piece]);
        boolean isStepped = stepAt != null && seconds[i] > stepAt;
        solution.add(
            isStepped ? new int[] {piece, piece + 1, times.length} : new int[] {piece, piece + 1},
            isStepped ? new double[] {1 - share, share, 1} : new double[] {1 - share, share},
            beside[i],
            scale / Math.sqrt(weights[i]));
      }
      solution.solve();
      double[] values = new double[times.length];
      for (int k = 0; k < values.length; k++) {
        values[k] = solution.value(k);
      }
      double step = stepAt == null ? 0 : solution.value(times.length);
      pieces = new Pieces(times, values, stepAt, step, 0);
      for (int i = 0; i < seconds.length; i++) {
        double off = Math.abs(beside[i] - pieces.at(seconds[i])) / scale;
        weights[i] = off <= HUBER ? 1 : HUBER / off;
      }
    }
    double sum = 0;
    double most = FARTHEST * scale / noise;
    for (int i = 0; i < seconds.length; i++) {
      double off = Math.min(most, Math.abs(beside[i] - pieces.at(seconds[i])) / noise);
      sum += off * off;
    }
    return new Pieces(times, pieces.values, stepAt, pieces.step, sum);
  }

  private static int piece(double[] times, double seconds) {
    int piece = 0;
    while (piece + 2 < times.length && seconds > times[piece + 1]) {
      piece++;
    }
    return piece;
  }

  /** A line of pieces at a time; beyond the ends the outer pieces go on. */
  static double value(double[] times, double[] values, double seconds) {
    int piece = piece(times, seconds);
    double share = (seconds - times[piece]) / (times[piece + 1] - times[piece]);
    return values[piece] + share * (values[piece + 1] - values[piece]);
  }
}
