package hardpan.signal;

/**
 * Linear prediction of all orders up to a largest one, from an autocorrelation (the recursion of
 * Levinson and Durbin; J. Makhoul, "Linear Prediction: A Tutorial Review", Proc. IEEE 63, 1975,
 * section II).
 */
public final class LinearPrediction {
  /** Keeps the recursion stable where a sound has no noise of its own: 90 dB below the sound. */
  private static final double LEAST_NOISE = 1e-9;

  private final double[][] weights;
  private final double[] errors;

  private LinearPrediction(double[][] weights, double[] errors) {
    this.weights = weights;
    this.errors = errors;
  }

  /**
   * Solves for all orders.
   *
   * @param autocorrelation lags 0 to the largest order; lag 0 above 0 and finite
   * @throws IllegalArgumentException if lag 0 is not above 0
   */
  public static LinearPrediction of(double[] autocorrelation) {
    if (!(autocorrelation[0] > 0)) {
      throw new IllegalArgumentException("power " + autocorrelation[0]);
    }
    int most = autocorrelation.length - 1;
    double[][] weights = new double[most + 1][];
    double[] errors = new double[most + 1];
    weights[0] = new double[0];
    errors[0] = autocorrelation[0] * (1 + LEAST_NOISE);
    for (int order = 1; order <= most; order++) {
      double[] shorter = weights[order - 1];
      double left = autocorrelation[order];
      for (int i = 0; i < order - 1; i++) {
        left -= shorter[i] * autocorrelation[order - 1 - i];
      }
      double reflection = left / errors[order - 1];
      double[] longer = new double[order];
      for (int i = 0; i < order - 1; i++) {
        longer[i] = shorter[i] - reflection * shorter[order - 2 - i];
      }
      longer[order - 1] = reflection;
      weights[order] = longer;
      double kept = 1 - reflection * reflection;
      errors[order] = errors[order - 1] * Math.max(kept, LEAST_NOISE);
    }
    return new LinearPrediction(weights, errors);
  }

  /** Expected power of the error of a predictor. */
  public double errorPower(int order) {
    return errors[order];
  }

  /**
   * The error of a prediction.
   *
   * @param samples the sound
   * @param at the sample that is predicted from the {@code order} samples before it
   */
  public double error(int order, double[] samples, int at) {
    double[] own = weights[order];
    double predicted = 0;
    for (int i = 0; i < order; i++) {
      predicted += own[i] * samples[at - 1 - i];
    }
    return samples[at] - predicted;
  }
}
