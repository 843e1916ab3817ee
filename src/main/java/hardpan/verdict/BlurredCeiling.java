package hardpan.verdict;

import org.jspecify.annotations.Nullable;

/**
 * A ceiling in the distribution of sample values that came out of a lossy decoder. Its flat tops
 * ripple and overshoot, so what is looked for is a bump: a level that is far more frequent than the
 * levels below it promise.
 *
 * <p>The promise is a straight line through the logarithms of the counts below the bump. Natural
 * sound falls along such a line, limited sound too; a pure tone rises towards its peak, but so does
 * its line. Counts that jump from level to level (a test tone in step with the sample rate) are not
 * judged at all.
 *
 * @param level the most frequent level of the bump, full scale being 1
 * @param edge lower end of the bump; samples at or above it were cut off
 */
record BlurredCeiling(double level, double edge) {
  /** No ceiling. */
  static final BlurredCeiling NONE = new BlurredCeiling(0, 0);

  /** Natural logarithm of how far a bump must stand above the promise (own measurement). */
  private static final double LEAST_BUMP = 1.0;

  /** Roughest distribution that is judged, in natural logarithms about the line. */
  private static final double MOST_ROUGHNESS = 0.5;

  private static final int MOST_STEPS = 200;
  private static final int LEAST_STEPS = 40;
  private static final double LOWEST_SHARE = 0.4;
  private static final int LEAST_BELOW = 100;
  private static final int LEAST_IN_BUMP = 40;

  /** Shares of the values that may be overshoots beyond the searched range. */
  private static final double[] OVERSHOOT_SHARES = {0, 1e-5, 1e-4, 1e-3, 1e-2};

  /**
   * Looks for one.
   *
   * @param counts how often each value of one half of the wave occurs, in steps of {@link
   *     ChannelMeter#VALUE_BIN_WIDTH}
   */
  static BlurredCeiling find(long[] counts) {
    long total = 0;
    for (int bin = 1; bin < counts.length; bin++) {
      total += counts[bin];
    }
    @Nullable Bump best = null;
    int lastEnd = -1;
    for (double share : OVERSHOOT_SHARES) {
      int end = end(counts, (long) (share * total));
      if (end != lastEnd) {
        best = better(best, search(counts, end));
        lastEnd = end;
      }
    }
    return best == null ? NONE : best.ceiling;
  }

  private record Bump(BlurredCeiling ceiling, double strength) {}

  private static @Nullable Bump better(@Nullable Bump a, @Nullable Bump b) {
    if (a == null || b == null) {
      return a == null ? b : a;
    }
    return b.strength > a.strength ? b : a;
  }

  /** Number of bins that hold all but a number of the largest values. */
  private static int end(long[] counts, long leftOut) {
    long above = 0;
    for (int bin = counts.length - 1; bin > 0; bin--) {
      above += counts[bin];
      if (above > leftOut) {
        return bin + 1;
      }
    }
    return 0;
  }

  private static @Nullable Bump search(long[] counts, int end) {
    int binsPerStep = Math.max(1, (end + MOST_STEPS - 1) / MOST_STEPS);
    int number = end / binsPerStep;
    if (number < LEAST_STEPS) {
      return null;
    }
    double[] steps = new double[number];
    // The last step is the highest one; a remainder of bins is left out at zero.
    int first = end - number * binsPerStep;
    for (int bin = first; bin < end; bin++) {
      steps[(bin - first) / binsPerStep] += counts[bin];
    }
    int half = Math.max(1, number / 100);
    int gap = Math.max(2, number / 33);
    int length = Math.max(10, number / 8);
    @Nullable Bump best = null;
    for (int k = (int) (LOWEST_SHARE * number); k < number - half; k++) {
      int to = k - gap;
      int from = to - length;
      double strength = from < 0 ? 0 : strength(steps, k, half, from, to);
      if (strength > LEAST_BUMP && (best == null || strength > best.strength)) {
        double width = binsPerStep * ChannelMeter.VALUE_BIN_WIDTH;
        double base = first * ChannelMeter.VALUE_BIN_WIDTH;
        double level = base + (k + 0.5) * width;
        double edge = base + edge(steps, k, half, from, to) * width;
        best = new Bump(new BlurredCeiling(level, edge), strength);
      }
    }
    return best;
  }

  /** How far the steps about {@code k} stand above the line through the steps below. */
  private static double strength(double[] steps, int k, int half, int from, int to) {
    double here = mean(steps, k - half, k + half + 1);
    double below = mean(steps, from, to) * (to - from);
    if (below < LEAST_BELOW || here * (2 * half + 1) < LEAST_IN_BUMP) {
      return 0;
    }
    double xMean = 0.5 * (from + to - 1);
    double yMean = 0;
    for (int i = from; i < to; i++) {
      yMean += Math.log(steps[i] + 0.5) / (to - from);
    }
    double sxx = 0;
    double sxy = 0;
    for (int i = from; i < to; i++) {
      sxx += (i - xMean) * (i - xMean);
      sxy += (i - xMean) * (Math.log(steps[i] + 0.5) - yMean);
    }
    double slope = sxy / sxx;
    double rough = 0;
    for (int i = from; i < to; i++) {
      double off = Math.log(steps[i] + 0.5) - yMean - slope * (i - xMean);
      rough += off * off / (to - from);
    }
    double expectedRoughness = (to - from) / below;
    if (rough > MOST_ROUGHNESS * MOST_ROUGHNESS + 2 * expectedRoughness) {
      return 0;
    }
    // A line that falls by chance must not make a bump of an even distribution.
    double chance =
        Math.sqrt(
            rough * (1.0 / (to - from) + (k - xMean) * (k - xMean) / sxx)
                + 1 / (here * (2 * half + 1)));
    double promised = yMean + slope * (k - xMean);
    // However steeply the line falls, the bump must be a rise.
    double rise = Math.log(here) - Math.log(mean(steps, to - (to - from) / 3, to) + 0.5);
    return Math.min(Math.log(here) - promised - 2 * chance, 2 * rise);
  }

  /** The step at which the bump stands half as high, in decibels, as at its top. */
  private static int edge(double[] steps, int k, int half, int from, int to) {
    double least = Math.sqrt(mean(steps, k - half, k + half + 1) * (mean(steps, from, to) + 1));
    int edge = k;
    while (edge > to && mean(steps, edge - half, edge + half + 1) > least) {
      edge--;
    }
    return edge;
  }

  private static double mean(double[] steps, int from, int to) {
    double sum = 0;
    for (int i = from; i < to; i++) {
      sum += steps[i];
    }
    return sum / (to - from);
  }
}
