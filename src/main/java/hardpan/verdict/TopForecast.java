package hardpan.verdict;

import hardpan.signal.LinearPrediction;
import java.util.ArrayList;
import java.util.List;

/**
 * What the flanks of loud waves promise for their tops. The samples of a top are left out and
 * filled in from both sides by linear prediction (A. Janssen, R. Veldhuis and L. Vries, "Adaptive
 * interpolation of discrete-time signals that can be modeled as autoregressive processes", IEEE
 * Trans. ASSP 34, 1986; one round). Where a wave was cut off the filled-in top is higher than the
 * recorded one; where it was only held, or is simply loud, it is not.
 *
 * @param number tops that reach the level
 * @param promised middle of promised height over recorded height, in natural logarithm
 * @param promisedUpper what nine of ten of them stay below
 * @param usual middle of the same figure for tops well below the level
 * @param usualNumber number of those
 */
record TopForecast(
    int number, double promised, double promisedUpper, double usual, int usualNumber) {
  private static final int ORDER = 32;

  /** Longer tops are not promised anything by their flanks. */
  private static final int LONGEST_GAP = 48;

  /** A top is what lies above this share of the level, or of a lower wave's own height. */
  private static final double TOP_SHARE = 0.88;

  private static final double REACHES = 0.93;
  private static final double USUAL_FROM = 0.35;
  private static final double USUAL_TO = 0.8;

  /** Tops of each sort that are looked at in one piece. */
  private static final int MOST_EACH = 12;

  private static final double LARGEST_RATIO = 4;

  /**
   * Measures them.
   *
   * @param pieces loud excerpts
   * @param spreads what was found out about each of them; null where nothing was, filled in here
   * @param sign 1 for the positive half of the wave, -1 for the negative
   */
  static TopForecast of(float[][] pieces, double[][] spreads, int sign, double level) {
    List<Double> at = new ArrayList<>();
    List<Double> below = new ArrayList<>();
    for (int i = 0; i < pieces.length; i++) {
      piece(pieces[i], spreads, i, sign, level, at, below);
    }
    double[] high = at.stream().mapToDouble(x -> x).sorted().toArray();
    double[] low = below.stream().mapToDouble(x -> x).sorted().toArray();
    return new TopForecast(
        high.length, quantile(high, 0.5), quantile(high, 0.9), quantile(low, 0.5), low.length);
  }

  private static double quantile(double[] sorted, double share) {
    return sorted.length == 0
        ? 0
        : sorted[Math.min(sorted.length - 1, (int) (share * sorted.length))];
  }

  private static void piece(
      float[] piece,
      double[][] spreads,
      int index,
      int sign,
      double level,
      List<Double> at,
      List<Double> below) {
    int end = piece.length - ORDER;
    int atHere = 0;
    int belowHere = 0;
    for (int i = ORDER; i < end; i++) {
      float x = sign * piece[i];
      if (x < USUAL_FROM * level) {
        continue;
      }
      // One wave: from here to where it falls below half its own largest value.
      int top = i;
      int stop = i;
      while (stop < end && sign * piece[stop] > 0.5f * sign * piece[top]) {
        top = piece[stop] * sign > piece[top] * sign ? stop : top;
        stop++;
      }
      double height = sign * piece[top];
      i = stop;
      boolean reaches = height >= REACHES * level;
      boolean usual = !reaches && height < USUAL_TO * level;
      if ((!reaches && !usual) || (reaches ? atHere : belowHere) >= MOST_EACH) {
        continue;
      }
      int from = top;
      int to = top + 1;
      double least = TOP_SHARE * Math.min(height, reaches ? level : height);
      for (int k = top; k > ORDER && sign * piece[k] > 0.5 * height; k--) {
        from = sign * piece[k] >= least ? k : from;
      }
      for (int k = top; k < end && sign * piece[k] > 0.5 * height; k++) {
        to = sign * piece[k] >= least ? k + 1 : to;
      }
      if (from <= ORDER || to >= end || to - from > LONGEST_GAP) {
        continue;
      }
      if (spreads[index] == null) {
        spreads[index] = spread(piece);
      }
      double promise = sign * highest(fill(piece, from, to, spreads[index]), sign);
      double figure =
          Math.log(Math.max(1 / LARGEST_RATIO, Math.min(LARGEST_RATIO, promise / height)));
      (reaches ? at : below).add(figure);
      if (reaches) {
        atHere++;
      } else {
        belowHere++;
      }
    }
  }

  private static double highest(double[] values, int sign) {
    double best = values[0];
    for (double value : values) {
      best = sign * value > sign * best ? value : best;
    }
    return best;
  }

  /** Autocorrelation of the weights of the filter that leaves a piece's prediction error. */
  private static double[] spread(float[] piece) {
    double[] lags = new double[ORDER + 1];
    for (int lag = 0; lag <= ORDER; lag++) {
      double sum = 0;
      for (int i = lag; i < piece.length; i++) {
        sum += (double) piece[i] * piece[i - lag];
      }
      lags[lag] = sum;
    }
    double[] filter = LinearPrediction.of(lags).errorFilter(ORDER);
    double[] spread = new double[filter.length];
    for (int lag = 0; lag < filter.length; lag++) {
      for (int k = lag; k < filter.length; k++) {
        spread[lag] += filter[k] * filter[k - lag];
      }
    }
    return spread;
  }

  private static double[] fill(float[] piece, int from, int to, double[] spread) {
    int size = to - from;
    double[][] matrix = new double[size][size];
    double[] right = new double[size];
    for (int i = 0; i < size; i++) {
      for (int j = 0; j <= i; j++) {
        matrix[i][j] = i - j < spread.length ? spread[i - j] : 0;
      }
      for (int lag = 1; lag < spread.length; lag++) {
        int before = from + i - lag;
        int after = from + i + lag;
        right[i] -= before < from ? spread[lag] * piece[before] : 0;
        right[i] -= after >= to ? spread[lag] * piece[after] : 0;
      }
    }
    solve(matrix, right);
    return right;
  }

  /** Solves in place by Cholesky's method; the matrix is symmetric and positive definite. */
  private static void solve(double[][] matrix, double[] right) {
    int size = right.length;
    for (int i = 0; i < size; i++) {
      for (int j = 0; j <= i; j++) {
        double sum = matrix[i][j];
        for (int k = 0; k < j; k++) {
          sum -= matrix[i][k] * matrix[j][k];
        }
        matrix[i][j] = i == j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / matrix[j][j];
      }
    }
    for (int i = 0; i < size; i++) {
      for (int k = 0; k < i; k++) {
        right[i] -= matrix[i][k] * right[k];
      }
      right[i] /= matrix[i][i];
    }
    for (int i = size - 1; i >= 0; i--) {
      for (int k = i + 1; k < size; k++) {
        right[i] -= matrix[k][i] * right[k];
      }
      right[i] /= matrix[i][i];
    }
  }
}
