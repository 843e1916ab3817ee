package hardpan.signal;

/**
 * A straight line y = {@code intercept} + {@code slope} x, fitted so that points off the line do
 * not move it.
 *
 * @param intercept value at x = 0
 * @param slope rise of y for one x
 * @param scatter robust standard deviation of the points that count, about the line
 * @param pointsUsed how many points count
 */
public record StraightLine(double intercept, double slope, double scatter, int pointsUsed) {

  /** Value of the line. */
  public double at(double x) {
    return intercept + slope * x;
  }

  /**
   * Fits a line by iteratively re-weighted least squares (Tukey's biweight), with a prior that
   * pulls the slope towards a given value when the points alone cannot tell it.
   *
   * @param x abscissae
   * @param y ordinates, as many
   * @param startIntercept first guess
   * @param startSlope first guess
   * @param tolerance points farther than this from the first guess do not count
   * @param leastScatter scatter below which the points are not trusted to be, above 0
   * @param expectedSlope centre of the prior
   * @param slopeDeviation standard deviation of the prior; infinite for no prior
   * @return the line; with {@code pointsUsed} 0 and the first guess if no point is near it
   */
  public static StraightLine fit(
      double[] x,
      double[] y,
      double startIntercept,
      double startSlope,
      double tolerance,
      double leastScatter,
      double expectedSlope,
      double slopeDeviation) {
    double intercept = startIntercept;
    double slope = startSlope;
    double cut = tolerance;
    double scatter = tolerance;
    int used = 0;
    for (int round = 0; round < 20; round++) {
      double weightSum = 0;
      double xSum = 0;
      double ySum = 0;
      used = 0;
      double[] weights = new double[x.length];
      for (int i = 0; i < x.length; i++) {
        double r = (y[i] - intercept - slope * x[i]) / cut;
        if (Math.abs(r) < 1) {
          weights[i] = (1 - r * r) * (1 - r * r);
          weightSum += weights[i];
          xSum += weights[i] * x[i];
          ySum += weights[i] * y[i];
          used++;
        }
      }
      if (used == 0 || weightSum <= 0) {
        return new StraightLine(startIntercept, startSlope, scatter, 0);
      }
      double xMean = xSum / weightSum;
      double yMean = ySum / weightSum;
      double sxx = 0;
      double sxy = 0;
      double[] residuals = new double[used];
      int next = 0;
      for (int i = 0; i < x.length; i++) {
        if (weights[i] > 0) {
          sxx += weights[i] * (x[i] - xMean) * (x[i] - xMean);
          sxy += weights[i] * (x[i] - xMean) * (y[i] - yMean);
          residuals[next++] = y[i] - intercept - slope * x[i];
        }
      }
      scatter = Math.max(leastScatter, Statistics.robustDeviation(residuals));
      double prior = scatter * scatter / (slopeDeviation * slopeDeviation);
      double newSlope =
          sxx + prior > 0 ? (sxy + prior * expectedSlope) / (sxx + prior) : expectedSlope;
      double newIntercept = yMean - newSlope * xMean;
      boolean settled =
          Math.abs(newIntercept - intercept) < 1e-12 && Math.abs(newSlope - slope) < 1e-13;
      intercept = newIntercept;
      slope = newSlope;
      // About the new line, not about their own middle: a line that is still beside the points must
      // not lose them all.
      next = 0;
      for (int i = 0; i < x.length; i++) {
        if (weights[i] > 0) {
          residuals[next++] = Math.abs(y[i] - intercept - slope * x[i]);
        }
      }
      double off = Statistics.median(residuals);
      cut = Math.min(tolerance, Math.max(Math.max(6 * scatter, 2 * off), 3 * leastScatter));
      if (settled) {
        break;
      }
    }
    return new StraightLine(intercept, slope, scatter, used);
  }
}
