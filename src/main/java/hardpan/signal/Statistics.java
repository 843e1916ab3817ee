package hardpan.signal;

import java.util.Arrays;

/** Order statistics of small arrays. The arguments are not changed. */
public final class Statistics {
  /** Fewer values than this are sorted as fast as they are searched. */
  private static final int FEW = 64;

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
    double[] ordered = values.clone();
    double rank = share * (ordered.length - 1);
    int lower = (int) Math.floor(rank);
    int upper = Math.min(lower + 1, ordered.length - 1);
    if (ordered.length < FEW || hasNaN(ordered)) {
      Arrays.sort(ordered);
      return ordered[lower] + (rank - lower) * (ordered[upper] - ordered[lower]);
    }
    select(ordered, lower);
    double above = ordered[lower];
    if (upper > lower) {
      above = ordered[upper];
      for (int i = upper + 1; i < ordered.length; i++) {
        above = Math.min(above, ordered[i]);
      }
    }
    return ordered[lower] + (rank - lower) * (above - ordered[lower]);
  }

  private static boolean hasNaN(double[] values) {
    for (double value : values) {
      if (Double.isNaN(value)) {
        return true;
      }
    }
    return false;
  }

  /**
   * Puts the value that belongs at a rank there, smaller ones before it and larger ones behind it
   * (C. A. R. Hoare's selection, Communications of the ACM 4, 1961; from memory). The middle one of
   * three parts the rest, so that sorted values are no bad case.
   */
  private static void select(double[] values, int rank) {
    int from = 0;
    int to = values.length - 1;
    while (from < to) {
      double a = values[from];
      double b = values[(from + to) >>> 1];
      double c = values[to];
      double part = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
      int left = from;
      int right = to;
      while (left <= right) {
        while (values[left] < part) {
          left++;
        }
        while (values[right] > part) {
          right--;
        }
        if (left <= right) {
          double kept = values[left];
          values[left++] = values[right];
          values[right--] = kept;
        }
      }
      if (rank <= right) {
        to = right;
      } else if (rank >= left) {
        from = left;
      } else {
        return;
      }
    }
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
