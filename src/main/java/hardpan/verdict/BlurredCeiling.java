package hardpan.verdict;

import java.util.ArrayList;
import java.util.List;

/**
 * A ceiling that left no level tops: the sound went through a lossy codec whose flat tops ripple
 * and overshoot, through a coupling capacitor that tilts them, or the stage bent before it stopped.
 *
 * <p>Two things are looked at together. The counts of sample values rise towards a ceiling where
 * those of natural sound fall (J. Eaton and P. Naylor, EUSIPCO 2013, judge coded speech by its
 * amplitude histogram), the waves that reach it are fuller than round ones ({@link TopShapes}), and
 * their flanks promise higher tops than there are ({@link TopForecast}). A limiter and a pure tone
 * make the first, not the others. The weights were fitted by logistic regression on made clips of
 * known truth ({@code hardpan bench verdicts}).
 *
 * @param level the most frequent level of the rise, full scale being 1
 * @param edge lower end of the rise; samples at or above it were cut off
 * @param score how much speaks for it; alone it decides nothing, see {@link #believable}
 * @param promise what nine of ten tops' flanks promise at most, see {@link TopForecast}
 */
record BlurredCeiling(double level, double edge, double score, double promise) {
  /** No ceiling. */
  static final BlurredCeiling NONE = new BlurredCeiling(0, 0, -4, 0);

  /** Of two halves' scores together, where flat tops were looked for too and not found. */
  private static final double LEAST_TOGETHER = 1.4;

  /** The same behind a lossy codec, which leaves no flat tops. */
  private static final double LEAST_BEHIND_CODEC = -0.5;

  /** The regression was made on all sound; behind a codec its figure is so much too low. */
  private static final double CODEC_SURER = 1;

  /** The flanks of a pure tone promise the tops it has. */
  private static final double LEAST_PROMISE = 0.1;

  /** A half above it speaks for a ceiling, where both halves together do. */
  private static final double LEAST_ALONE = -1.4;

  private static final int STEPS = 200;
  private static final int LEAST_BINS = 60;
  private static final double LOWEST_SHARE = 0.4;

  /** Steps below the supposed ceiling whose counts are the promise. */
  private static final int FROM_BELOW = 25;

  private static final int TO_BELOW = 5;
  private static final double LEAST_RISE = 0.1;
  private static final int CANDIDATES_EACH = 2;
  private static final int LEAST_WAVES = 3;
  private static final int LEAST_USUAL = 8;

  /** Where the counts show no rise, the ceiling may be at one of the highest tops, from above. */
  private static final int[] FROM_TOP = {5, 20};

  private static final double WITHOUT_RISE_EDGE = 0.97;

  /** Shares of the values that may be overshoots beyond the searched range. */
  private static final double[] OVERSHOOT_SHARES = {0, 1e-4, 1e-3, 1e-2};

  /**
   * Whether what the two halves of the wave say together is enough: a stage that cuts one half
   * nearly always cuts the other too.
   */
  static boolean believable(BlurredCeiling above, BlurredCeiling below, boolean lossy) {
    return together(above, below) > (lossy ? LEAST_BEHIND_CODEC : LEAST_TOGETHER);
  }

  /** How likely it is that the sound was cut off, 0 to 1: the regression's own figure. */
  static double probability(BlurredCeiling above, BlurredCeiling below, boolean lossy) {
    return 1 / (1 + Math.exp(-together(above, below) - (lossy ? CODEC_SURER : 0)));
  }

  private static double together(BlurredCeiling above, BlurredCeiling below) {
    double better = Math.max(above.score, below.score);
    double other = Math.min(above.score, below.score);
    return 4.369 + Math.max(-6, Math.min(8, better)) + 1.276 * Math.max(-5, Math.min(5, other));
  }

  /** Whether no pure tone can look like this: the flanks promise more than there is. */
  static boolean isNoTone(BlurredCeiling above, BlurredCeiling below) {
    return Math.max(above.promise, below.promise) >= LEAST_PROMISE;
  }

  /** Whether this half speaks for a ceiling of its own. */
  boolean speaks() {
    return score > LEAST_ALONE;
  }

  /**
   * Looks for the likeliest one.
   *
   * @param counts how often each value of one half of the wave occurs, in steps of {@link
   *     ChannelMeter#VALUE_BIN_WIDTH}
   * @param pieces loud excerpts
   * @param spreads what {@link TopForecast} found out about each of them
   * @param sign 1 for the positive half of the wave, -1 for the negative
   */
  static BlurredCeiling find(long[] counts, float[][] pieces, double[][] spreads, int sign) {
    BlurredCeiling best = NONE;
    List<Candidate> candidates = candidates(counts);
    double[] heights = TopShapes.heights(pieces, sign);
    for (int rank : FROM_TOP) {
      if (heights.length >= 2 * rank || rank == FROM_TOP[0]) {
        double level = heights.length == 0 ? 0 : heights[Math.max(0, heights.length - rank)];
        candidates.add(new Candidate(level, WITHOUT_RISE_EDGE * level, 0));
      }
    }
    for (Candidate candidate : candidates) {
      if (candidate.level <= 0) {
        continue;
      }
      TopShapes shapes = TopShapes.of(pieces, sign, candidate.level);
      TopForecast forecast = TopForecast.of(pieces, spreads, sign, candidate.level);
      if (Math.max(shapes.number(), forecast.number()) >= LEAST_WAVES) {
        double score = score(candidate.rise, shapes, forecast);
        if (score > best.score) {
          best =
              new BlurredCeiling(candidate.level, candidate.edge, score, forecast.promisedUpper());
        }
      }
    }
    return best;
  }

  record Candidate(double level, double edge, double rise) {}

  static double score(double rise, TopShapes shapes, TopForecast forecast) {
    double waves = Math.log10(Math.max(1, shapes.number()));
    double tops = Math.log10(Math.max(1, forecast.number()));
    double promised = within(forecast.promised(), 0.25);
    double fromCounts = 1.824 * rise + 1.854 * Math.max(0, rise - 2) - (rise > 0 ? 0 : 0.618);
    double fromShapes =
        2.734 * within(shapes.middle() - 0.85, 0.15)
            + 6.23 * within(shapes.upper() - 0.92, 0.15)
            - 1.79 * waves
            - 0.781 * Math.min(2, Math.abs(shapes.height() - 1.05))
            - 1.357 * shapes.beyond()
            + (shapes.usualNumber() < LEAST_USUAL ? 0 : 2.589 * within(shapes.usual() - 0.8, 0.15));
    double fromForecast =
        12.146 * within(forecast.promisedUpper(), 0.5)
            + promised * (3.697 * Math.min(1.5, tops) - 6.307)
            - 11.349 * within(forecast.usual(), 0.15)
            + 1.407 * tops
            + (forecast.number() < LEAST_WAVES ? 2.987 : 0);
    return fromCounts + fromShapes + fromForecast - 2.611;
  }

  private static double within(double x, double most) {
    return Math.max(-most, Math.min(most, x));
  }

  static List<Candidate> candidates(long[] counts) {
    long total = 0;
    for (int bin = 1; bin < counts.length; bin++) {
      total += counts[bin];
    }
    List<Candidate> candidates = new ArrayList<>();
    int lastEnd = -1;
    for (double share : OVERSHOOT_SHARES) {
      int end = end(counts, (long) (share * total));
      if (end != lastEnd && end >= LEAST_BINS) {
        search(counts, end, candidates);
        lastEnd = end;
      }
    }
    return candidates;
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

  private static void search(long[] counts, int end, List<Candidate> candidates) {
    int number = Math.min(STEPS, end);
    double width = (double) end / number;
    double[] steps = new double[number];
    for (int bin = 1; bin < end; bin++) {
      // A bin that lies across two steps is shared out, so that steps are even.
      double from = bin / width;
      double to = (bin + 1) / width;
      int first = (int) from;
      int last = Math.min(number - 1, (int) to);
      if (first == last) {
        steps[first] += counts[bin];
      } else {
        double inFirst = (last - from) / (to - from);
        steps[first] += inFirst * counts[bin];
        steps[last] += (1 - inFirst) * counts[bin];
      }
    }
    int[] best = new int[CANDIDATES_EACH];
    double[] rises = new double[CANDIDATES_EACH];
    for (int k = (int) (LOWEST_SHARE * number); k < number - 1; k++) {
      double rise = rise(steps, k);
      if (rise > rises[0]) {
        boolean near = k - best[0] <= 2;
        rises[1] = near ? rises[1] : rises[0];
        best[1] = near ? best[1] : best[0];
        rises[0] = rise;
        best[0] = k;
      } else if (rise > rises[1] && k - best[0] > 2) {
        rises[1] = rise;
        best[1] = k;
      }
    }
    for (int i = 0; i < CANDIDATES_EACH; i++) {
      if (rises[i] > LEAST_RISE) {
        double unit = width * ChannelMeter.VALUE_BIN_WIDTH;
        candidates.add(
            new Candidate((best[i] + 0.5) * unit, edge(steps, best[i]) * unit, rises[i]));
      }
    }
  }

  /** How far the counts about {@code k} stand above those below, less what chance may do. */
  private static double rise(double[] steps, int k) {
    double here = mean(steps, k - 1, k + 2);
    int from = Math.max(1, k - FROM_BELOW);
    double below = mean(steps, from, k - TO_BELOW);
    double chance = 1 / Math.sqrt(3 * here + 1) + 1 / Math.sqrt(below * (k - TO_BELOW - from) + 1);
    return Math.log(here + 0.1) - Math.log(below + 0.5) - 2 * chance;
  }

  /** The step at which the rise stands half as high, in decibels, as at its top. */
  private static int edge(double[] steps, int k) {
    double below = mean(steps, Math.max(1, k - FROM_BELOW), k - TO_BELOW);
    double least = Math.sqrt((mean(steps, k - 1, k + 2) + 1) * (below + 1));
    int edge = k;
    while (edge > k - FROM_BELOW && edge > 2 && mean(steps, edge - 1, edge + 2) > least) {
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
