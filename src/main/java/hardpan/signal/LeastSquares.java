package hardpan.signal;

/**
 * A linear least-squares task of a few hundred unknowns, gathered observation by observation and
 * solved by its normal equations (Cholesky's factorisation; G. Golub and C. Van Loan, Matrix
 * Computations, section 4.2). Unknowns that nothing was observed of come out as 0.
 *
 * <p>Scale the unknowns so that their deviations are of like size.
 */
public final class LeastSquares {
  private static final double TINY = 1e-18;

  private final int size;
  private final double[][] matrix;
  private final double[] right;

  /** A task of {@code size} unknowns, none observed. */
  public LeastSquares(int size) {
    this.size = size;
    this.matrix = new double[size][size];
    this.right = new double[size];
  }

  /**
   * Adds an observation: the sum of factors times unknowns is {@code value}.
   *
   * @param columns numbers of the unknowns, each at most once
   * @param factors as many
   * @param value what was observed
   * @param deviation its standard deviation, above 0
   */
  public void add(int[] columns, double[] factors, double value, double deviation) {
    if (!(deviation > 0) || !Double.isFinite(value)) {
      throw new IllegalArgumentException("value " + value + ", deviation " + deviation);
    }
    double weight = 1 / (deviation * deviation);
    for (int i = 0; i < columns.length; i++) {
      for (int k = 0; k < columns.length; k++) {
        matrix[columns[i]][columns[k]] += weight * factors[i] * factors[k];
      }
      right[columns[i]] += weight * factors[i] * value;
    }
  }

  /** Solves; call once, after the last observation. */
  public void solve() {
    for (int i = 0; i < size; i++) {
      double[] row = matrix[i];
      for (int k = 0; k < i; k++) {
        double[] other = matrix[k];
        double sum = row[k];
        for (int j = 0; j < k; j++) {
          sum -= row[j] * other[j];
        }
        row[k] = sum / other[k];
      }
      double left = row[i];
      double floor = TINY + 1e-15 * left;
      for (int j = 0; j < i; j++) {
        left -= row[j] * row[j];
      }
      // What is not determined gets a pivot so large that it comes out as nearly 0.
      row[i] = left > floor ? Math.sqrt(left) : 1e12;
    }
    for (int i = 0; i < size; i++) {
      double sum = right[i];
      for (int j = 0; j < i; j++) {
        sum -= matrix[i][j] * right[j];
      }
      right[i] = sum / matrix[i][i];
    }
    for (int i = size - 1; i >= 0; i--) {
      double sum = right[i];
      for (int j = i + 1; j < size; j++) {
        sum -= matrix[j][i] * right[j];
      }
      right[i] = sum / matrix[i][i];
    }
  }

  /** The value of an unknown, once solved. */
  public double value(int column) {
    return right[column];
  }

  /** The standard deviation of an unknown, once solved. */
  public double deviation(int column) {
    double[] unit = new double[size];
    double sumOfSquares = 0;
    for (int i = column; i < size; i++) {
      double sum = i == column ? 1 : 0;
      for (int j = column; j < i; j++) {
        sum -= matrix[i][j] * unit[j];
      }
      unit[i] = sum / matrix[i][i];
      sumOfSquares += unit[i] * unit[i];
    }
    return Math.sqrt(sumOfSquares);
  }
}
