package hardpan.signal;

/**
 * The K-weighting of ITU-R BS.1770-5, Annex 1: a high shelf for the head, then a high-pass. One
 * instance a channel; it keeps the filters' memory.
 *
 * <p>The standard prints coefficients for 48 kHz only and asks for the same response at other
 * rates. They are derived here by the bilinear transform from the analogue prototypes whose
 * parameters reproduce the printed tables.
 */
final class KWeighting {
  private static final double SHELF_HZ = 1681.974450955533;
  private static final double SHELF_GAIN_DB = 3.999843853973347;
  private static final double SHELF_Q = 0.7071752369554196;
  private static final double SHELF_MID_POWER = 0.4996667741545416;
  private static final double HIGH_PASS_HZ = 38.13547087602444;
  private static final double HIGH_PASS_Q = 0.5003270373238773;

  /** Far below anything audible; smaller memories are cleared, since denormals are slow. */
  private static final double NOTHING = 1e-60;

  /** {@code b0 b1 b2 a1 a2} of the shelf. */
  private final double[] shelf;

  /** {@code a1 a2} of the high-pass; its numerator is 1, -2, 1. */
  private final double[] highPass;

  private double shelfFirst;
  private double shelfSecond;
  private double highPassFirst;
  private double highPassSecond;

  KWeighting(int rateHz) {
    this.shelf = shelf(rateHz);
    this.highPass = highPass(rateHz);
  }

  static double[] shelf(int rateHz) {
    double k = Math.tan(Math.PI * SHELF_HZ / rateHz);
    double high = Math.pow(10, SHELF_GAIN_DB / 20);
    double mid = Math.pow(high, SHELF_MID_POWER);
    double a0 = 1 + k / SHELF_Q + k * k;
    return new double[] {
      (high + mid * k / SHELF_Q + k * k) / a0,
      2 * (k * k - high) / a0,
      (high - mid * k / SHELF_Q + k * k) / a0,
      2 * (k * k - 1) / a0,
      (1 - k / SHELF_Q + k * k) / a0
    };
  }

  static double[] highPass(int rateHz) {
    double k = Math.tan(Math.PI * HIGH_PASS_HZ / rateHz);
    double a0 = 1 + k / HIGH_PASS_Q + k * k;
    return new double[] {2 * (k * k - 1) / a0, (1 - k / HIGH_PASS_Q + k * k) / a0};
  }

  /**
   * Filters a stretch and sums its squares. Both stages are in transposed direct form II.
   *
   * @param samples NaN and infinities count as 0
   * @return the sum of the squares of the filtered samples
   */
  double energyOf(float[] samples, int from, int count) {
    double b0 = shelf[0];
    double b1 = shelf[1];
    double b2 = shelf[2];
    double a1 = shelf[3];
    double a2 = shelf[4];
    double c1 = highPass[0];
    double c2 = highPass[1];
    double s1 = shelfFirst;
    double s2 = shelfSecond;
    double h1 = highPassFirst;
    double h2 = highPassSecond;
    double sum = 0;
    for (int i = from; i < from + count; i++) {
      double x = samples[i];
      if (!(Math.abs(x) <= Float.MAX_VALUE)) {
        x = 0;
      }
      double y = b0 * x + s1;
      s1 = b1 * x - a1 * y + s2;
      s2 = b2 * x - a2 * y;
      double z = y + h1;
      h1 = -2 * y - c1 * z + h2;
      h2 = y - c2 * z;
      sum += z * z;
    }
    shelfFirst = cleared(s1);
    shelfSecond = cleared(s2);
    highPassFirst = cleared(h1);
    highPassSecond = cleared(h2);
    return sum;
  }

  private static double cleared(double memory) {
    return Math.abs(memory) < NOTHING ? 0 : memory;
  }
}
