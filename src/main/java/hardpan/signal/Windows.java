package hardpan.signal;

/** Window functions and the sinc. Pure functions of their arguments. */
public final class Windows {
  private Windows() {}

  /** sin(pi x) / (pi x), 1 at 0. */
  public static double sinc(double x) {
    double angle = Math.PI * x;
    return Math.abs(angle) < 1e-9 ? 1 : Math.sin(angle) / angle;
  }

  /**
   * The Kaiser window at a place between its ends.
   *
   * @param x place, -1 to 1; outside the window is 0
   * @param beta shape, 0 or more
   */
  public static double kaiserAt(double x, double beta) {
    double inside = 1 - x * x;
    return inside <= 0 ? 0 : besselI0(beta * Math.sqrt(inside)) / besselI0(beta);
  }

  /**
   * A periodic Hann window.
   *
   * @param length number of points, at least 1
   */
  public static float[] hann(int length) {
    float[] window = new float[length];
    for (int i = 0; i < length; i++) {
      window[i] = (float) (0.5 - 0.5 * Math.cos(2 * Math.PI * i / length));
    }
    return window;
  }

  /** Modified Bessel function of the first kind, order 0, by its power series. */
  private static double besselI0(double x) {
    double sum = 1;
    double term = 1;
    double half = x / 2;
    for (int k = 1; k < 200 && term > 1e-17 * sum; k++) {
      term *= (half / k) * (half / k);
      sum += term;
    }
    return sum;
  }
}
