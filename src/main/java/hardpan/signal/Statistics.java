package hardpan.signal;

import java.util.Arrays;

/** Order statistics of small arrays. The arguments are not changed. */
public final class Statistics {
  private Statistics() {}

  /** The median; NaN for an empty array. */
  public static double median(double[] values) {
    return quantile(values, 0.5);
  }

  /**
   * A quantile with linear interpolation between ranks; NaN for an empty array.
   *
   * @param share 0 (smallest) to 1 (largest)
   */
  public static double quantile(double[] values, double share) {
    if (values.length == 0) {
      return Double.NaN;
    }
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    double rank = share * (sorted.length - 1);
    int lower = (int) Math.floor(rank);
    int upper = Math.min(lower + 1, sorted.length - 1);
    return sorted[lower] + (rank - lower) * (sorted[upper] - sorted[lower]);
  }

  /**
   * Scatter about the median as a standard deviation that outliers do not move: 1.4826 times the
   * median absolute deviation. NaN for an empty array.
   */
  public static double robustDeviation(double[] values) {
    double centre = median(values);
    double[] distances = new double[values.length];
    for (int i = 0; i < values.length; i++) {
      distances[i] = Math.abs(values[i] - centre);
    }
    return 1.4826 * median(distances);
  }
}
