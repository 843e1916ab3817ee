package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;

class StatisticsTest {
  private static final double[] SHARES = {0, 0.05, 0.2, 0.5, 0.8, 0.95, 1};

  /** By the definition: linear interpolation between the ranks of the sorted values. */
  private static double bySorting(double[] values, double share) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    double rank = share * (sorted.length - 1);
    int lower = (int) Math.floor(rank);
    int upper = Math.min(lower + 1, sorted.length - 1);
    return sorted[lower] + (rank - lower) * (sorted[upper] - sorted[lower]);
  }

  private static void compare(int length, IntToDoubleFunction value, String words) {
    double[] values = new double[length];
    Arrays.setAll(values, value);
    double[] before = values.clone();
    for (double share : SHARES) {
      assertEquals(
          bySorting(values, share),
          Statistics.quantile(values, share),
          words + ", " + length + " values, share " + share);
    }
    assertArrayEquals(before, values, words);
  }

  @Test
  void quantilesAreThoseOfTheSortedValues() {
    long seed = 20261130;
    Random random = new Random(seed);
    for (int length : new int[] {1, 2, 3, 63, 64, 65, 100, 4096, 4097}) {
      compare(length, i -> random.nextGaussian(), "seed " + seed);
      compare(length, i -> random.nextInt(3), "ties, seed " + seed);
      compare(length, i -> i, "ascending");
      compare(length, i -> -i, "descending");
      compare(length, i -> 7, "all alike");
      compare(length, i -> Math.abs(length / 2.0 - i), "down and up");
      compare(length, i -> i % 5 == 0 ? Double.POSITIVE_INFINITY : i, "with infinities");
    }
  }

  @Test
  void anEmptyArrayHasNoQuantileAndNaNCountsAsLargest() {
    assertTrue(Double.isNaN(Statistics.median(new double[0])));
    double[] values = new double[101];
    Arrays.setAll(values, i -> i < 10 ? Double.NaN : i);
    assertEquals(60, Statistics.quantile(values, 0.5));
    assertTrue(Double.isNaN(Statistics.quantile(values, 1)));
  }

  @Test
  void theRobustDeviationIsThatOfNormalNoiseWhateverTheOutliersAre() {
    long seed = 20261130;
    Random random = new Random(seed);
    double[] values = new double[20_000];
    Arrays.setAll(values, i -> i % 20 == 0 ? 1e6 : 3 + 2 * random.nextGaussian());
    assertEquals(2, Statistics.robustDeviation(values), 0.15, "seed " + seed);
  }
}
