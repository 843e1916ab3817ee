package hardpan.demo;

import be.tarsos.dsp.util.fft.FloatFFT;

/**
 * Measures how much later than the truth a clip's sound is, by generalised cross-correlation with
 * partial whitening (Knapp and Carter, IEEE Trans. ASSP 24, 1976) through another library's Fourier
 * transform. The reference is read at the true places by straight-line interpolation, so nothing of
 * the generator's own arithmetic is used.
 */
final class LagMeter {
  private static final double WHITENING = 0.7;
  private static final int LENGTH = 1 << 19;

  private LagMeter() {}

  /**
   * One measurement.
   *
   * @param lagMs positive if the clip is later than the truth says
   * @param score peak over standard deviation within the search range, negative if upside down
   */
  record Lag(double lagMs, double score) {}

  /**
   * Measures over some seconds.
   *
   * @param rateHz of the clip; the reference has 48 kHz
   * @param searchMs to either side
   */
  static Lag measure(
      float[] clip,
      double rateHz,
      double startSeconds,
      double lengthSeconds,
      float[] reference,
      double offsetSeconds,
      double driftPpm,
      double searchMs) {
    int frames = (int) (lengthSeconds * rateHz);
    int first = (int) (startSeconds * rateHz);
    float[] x = new float[LENGTH];
    float[] y = new float[LENGTH];
    for (int i = 0; i < frames; i++) {
      double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / frames);
      x[i] = (float) (window * clip[first + i]);
      double seconds = offsetSeconds + (first + i) / rateHz * (1 + driftPpm * 1e-6);
      double place = seconds * 48000;
      int whole = (int) Math.floor(place);
      if (whole >= 0 && whole + 1 < reference.length) {
        double part = place - whole;
        y[i] = (float) (window * ((1 - part) * reference[whole] + part * reference[whole + 1]));
      }
    }
    float[] correlation = correlate(x, y, rateHz);
    int most = (int) (searchMs / 1000 * rateHz);
    double power = 0;
    int best = 0;
    for (int lag = -most; lag <= most; lag++) {
      double value = at(correlation, lag);
      power += value * value / (2 * most + 1);
      if (Math.abs(value) > Math.abs(at(correlation, best))) {
        best = lag;
      }
    }
    double sign = Math.signum(at(correlation, best));
    double before = sign * at(correlation, best - 1);
    double peak = sign * at(correlation, best);
    double after = sign * at(correlation, best + 1);
    double bend = (before - after) / (2 * (before - 2 * peak + after));
    return new Lag((best + bend) / rateHz * 1000, sign * peak / Math.sqrt(power));
  }

  private static double at(float[] correlation, int lag) {
    return correlation[Math.floorMod(lag, LENGTH)];
  }

  private static float[] correlate(float[] x, float[] y, double rateHz) {
    FloatFFT transform = new FloatFFT(LENGTH);
    transform.realForward(x);
    transform.realForward(y);
    float[] product = new float[LENGTH];
    for (int bin = 1; bin < LENGTH / 2; bin++) {
      double hertz = bin * rateHz / LENGTH;
      if (hertz < 150 || hertz > 8000) {
        continue;
      }
      double re = x[2 * bin] * y[2 * bin] + x[2 * bin + 1] * y[2 * bin + 1];
      double im = x[2 * bin + 1] * y[2 * bin] - x[2 * bin] * y[2 * bin + 1];
      double weight = Math.pow(Math.hypot(re, im) + 1e-30, -WHITENING);
      product[2 * bin] = (float) (re * weight);
      product[2 * bin + 1] = (float) (im * weight);
    }
    transform.realInverse(product, true);
    return product;
  }
}
