package hardpan.signal;

import java.util.Arrays;

/**
 * Band-limited interpolation between samples: 64 taps of a sinc under a Kaiser window (beta 12),
 * read from a table of 512 positions between two samples with cubic interpolation of the
 * coefficients.
 *
 * <p>Made for ratios very near 1 (clock drift) and for fractional delays, so its cut-off is the
 * Nyquist frequency: it is no anti-alias filter. For ratios that lower the rate by more than a
 * fraction of a percent use {@link #withCutoff}. Method: J. O. Smith, "Digital Audio Resampling",
 * CCRMA; window: Kaiser &amp; Schafer, IEEE Trans. ASSP 28 (1980).
 *
 * <p>Immutable and safe to share between threads.
 */
public final class SincInterpolator {
  /** Samples needed on each side of the wanted position. */
  public static final int HALF_TAPS = 32;

  private static final int PHASES = 512;

  /** Steps in a sample for {@link #stretched}; each is one of the table's positions. */
  private static final int STEPS = 128;

  /** Most samples that are made at a time. */
  private static final int RUN = 1024;

  private static final double KAISER_BETA = 12.0;
  private static final int SHORT_HALF_TAPS = 10;
  private static final double SHORT_KAISER_BETA = 6.5;
  private static final SincInterpolator FULL_BAND =
      new SincInterpolator(1.0, HALF_TAPS, KAISER_BETA);

  private final int halfTaps;

  /** {@code table[phase + 1][tap]}; one guard row on both sides for the cubic. */
  private final double[][] table;

  private SincInterpolator(double cutoff, int halfTapsAtFullBand, double beta) {
    this.halfTaps = (int) Math.ceil(halfTapsAtFullBand / cutoff);
    this.table = new double[PHASES + 3][2 * halfTaps];
    for (int row = 0; row < table.length; row++) {
      double fraction = (row - 1) / (double) PHASES;
      for (int tap = 0; tap < 2 * halfTaps; tap++) {
        double distance = tap - (halfTaps - 1) - fraction;
        table[row][tap] =
            cutoff * Windows.sinc(cutoff * distance) * Windows.kaiserAt(distance / halfTaps, beta);
      }
    }
  }

  /** The interpolator with its cut-off at the Nyquist frequency. */
  public static SincInterpolator fullBand() {
    return FULL_BAND;
  }

  /**
   * An interpolator that also removes what a lower output rate cannot carry.
   *
   * @param cutoff cut-off as a share of the input's Nyquist frequency, above 0 and at most 1
   */
  public static SincInterpolator withCutoff(double cutoff) {
    if (!(cutoff > 0 && cutoff <= 1)) {
      throw new IllegalArgumentException("cut-off " + cutoff);
    }
    return cutoff == 1 ? FULL_BAND : new SincInterpolator(cutoff, HALF_TAPS, KAISER_BETA);
  }

  /**
   * A shorter one, about 60 dB good up to 70 % of the cut-off: enough for looking where two sounds
   * agree, not for writing sound.
   *
   * @param cutoff as for {@link #withCutoff}
   */
  public static SincInterpolator brief(double cutoff) {
    if (!(cutoff > 0 && cutoff <= 1)) {
      throw new IllegalArgumentException("cut-off " + cutoff);
    }
    return new SincInterpolator(cutoff, SHORT_HALF_TAPS, SHORT_KAISER_BETA);
  }

  /** Samples this interpolator needs on each side of the wanted position. */
  public int halfTaps() {
    return halfTaps;
  }

  /**
   * The signal's value between samples.
   *
   * @param samples the signal; positions outside the array count as silence
   * @param position where, in samples from the array's start; any finite value
   * @return the interpolated value
   */
  public double at(float[] samples, double position) {
    double floor = Math.floor(position);
    return at(samples, (long) floor, position - floor);
  }

  /**
   * The signal's value at {@code index + fraction}; use this form when the position is too large
   * for a double to keep its fraction.
   *
   * @param samples the signal; positions outside the array count as silence
   * @param index whole part
   * @param fraction 0 inclusive to 1 exclusive
   * @return the interpolated value
   */
  public double at(float[] samples, long index, double fraction) {
    long firstSample = index - (halfTaps - 1);
    if (firstSample >= samples.length || firstSample + 2L * halfTaps <= 0) {
      return 0;
    }
    double scaled = fraction * PHASES;
    int phase = Math.min((int) scaled, PHASES - 1);
    double t = scaled - phase;
    double[] before = table[phase];
    double[] lower = table[phase + 1];
    double[] upper = table[phase + 2];
    double[] after = table[Math.min(phase + 3, PHASES + 2)];
    double wBefore = -t * (t - 1) * (t - 2) / 6;
    double wLower = (t + 1) * (t - 1) * (t - 2) / 2;
    double wUpper = -(t + 1) * t * (t - 2) / 2;
    double wAfter = (t + 1) * t * (t - 1) / 6;
    int from = (int) Math.max(0, -firstSample);
    int to = (int) Math.min(2L * halfTaps, samples.length - firstSample);
    double sumBefore = 0;
    double sumLower = 0;
    double sumUpper = 0;
    double sumAfter = 0;
    int base = (int) firstSample;
    for (int tap = from; tap < to; tap++) {
      double x = samples[base + tap];
      sumBefore += x * before[tap];
      sumLower += x * lower[tap];
      sumUpper += x * upper[tap];
      sumAfter += x * after[tap];
    }
    return wBefore * sumBefore + wLower * sumLower + wUpper * sumUpper + wAfter * sumAfter;
  }

  /**
   * The signal as a clock faster or slower by up to a thousandth would have recorded it, about its
   * middle. The shift is kept for a stretch of samples at a time, in steps of 1/128 sample, which
   * is much cheaper than {@link #at} for each.
   *
   * @param samples the signal; what lies outside the array counts as silence
   * @param slope by how much of its length it becomes longer, -0.001 to 0.001
   * @return as many samples
   */
  public float[] stretched(float[] samples, double slope) {
    if (!(Math.abs(slope) <= 1e-3)) {
      throw new IllegalArgumentException("slope " + slope);
    }
    float[] result = new float[samples.length];
    float[] sum = new float[Math.min(RUN, samples.length)];
    float[] shifted = new float[sum.length];
    double middle = 0.5 * samples.length;
    double inverse = 1 / (1 + slope);
    int start = 0;
    while (start < result.length) {
      long step = shiftSteps(start, middle, inverse);
      int last = Math.min(result.length, start + RUN);
      int end = endOfStep(start, step, middle, inverse, last);
      int whole = (int) Math.floorDiv(step, STEPS);
      double[] weights = table[Math.floorMod(step, STEPS) * (PHASES / STEPS) + 1];
      int first = start + whole - (halfTaps - 1);
      Arrays.fill(sum, 0);
      for (int tap = 0; tap < weights.length; tap++) {
        copy(samples, first + tap, shifted, end - start);
        addWeighted(shifted, (float) weights[tap], sum, end - start);
      }
      System.arraycopy(sum, 0, result, start, end - start);
      start = end;
    }
    return result;
  }

  /** A stretch of a signal; what lies outside is silence. */
  private static void copy(float[] samples, int first, float[] stretch, int count) {
    int from = Math.min(count, Math.max(0, -first));
    int to = Math.max(from, Math.min(count, samples.length - first));
    Arrays.fill(stretch, 0, from, 0);
    if (from < to) {
      System.arraycopy(samples, first + from, stretch, from, to - from);
    }
    Arrays.fill(stretch, to, count, 0);
  }

  /** Both at the same places, so that the machine takes many at once. */
  private static void addWeighted(float[] stretch, float weight, float[] sum, int count) {
    for (int i = 0; i < count; i++) {
      sum[i] += weight * stretch[i];
    }
  }

  /** By how many steps beside its own place a sample of a stretched signal is read. */
  private static long shiftSteps(int index, double middle, double inverse) {
    return Math.round(STEPS * (index - middle) * (inverse - 1));
  }

  /**
   * First index after {@code start} with another shift, {@code length} if there is none before; the
   * shift moves one way only.
   */
  private static int endOfStep(int start, long step, double middle, double inverse, int length) {
    int low = start;
    int high = length;
    while (high - low > 1) {
      int between = (low + high) >>> 1;
      if (shiftSteps(between, middle, inverse) == step) {
        low = between;
      } else {
        high = between;
      }
    }
    return high;
  }
}
