package hardpan.verdict;

import hardpan.signal.Fft;
import hardpan.signal.Windows;

/**
 * Measures what lies steadily between {@value #LOWEST_HZ} and {@value #HIGHEST_HZ} Hz: spectra of
 * four seconds each, and for every quarter of a hertz how often which level occurred.
 *
 * <p>What is always there shows at the low end of these counts, whatever is spoken or played above
 * it. Takes 0.3 MB, however long the sound is.
 */
final class HumMeter {
  static final double LOWEST_HZ = 40;
  static final double HIGHEST_HZ = 380;

  /** Points of a spectrum; about four seconds. */
  private static final int SIZE = 4096;

  private static final int HOP = SIZE / 4;

  /** Rate after averaging, before the low-pass filter, and after it. */
  private static final double AVERAGED_HZ = 4000;

  private static final int STEP = 4;
  private static final int TAPS = 96;

  /** Slower sound than this has no room for the highest multiples. */
  private static final double LEAST_RATE_HZ = 900;

  private static final int LEVELS = 110;
  private static final double LEVEL_DB = 1.5;
  private static final double LOWEST_DB = -150;

  private final int averaged;
  private final double slowHz;
  private final int lowestBin;
  private final char[][] counts;

  private double sum;
  private int inSum;
  private final double[] line = new double[TAPS];
  private int lineAt;
  private int sinceOutput;
  private final float[] slow = new float[SIZE];
  private int slowCount;
  private final float[] window = Windows.hann(SIZE);
  private final double[] taps = taps();
  private int spectra;

  HumMeter(int rateHz) {
    this.averaged = Math.max(1, (int) Math.round(rateHz / AVERAGED_HZ));
    this.slowHz = (double) rateHz / averaged / STEP;
    this.lowestBin = (int) Math.floor(LOWEST_HZ * SIZE / slowHz);
    int highest = (int) Math.ceil(HIGHEST_HZ * SIZE / slowHz);
    boolean enough = slowHz >= LEAST_RATE_HZ;
    this.counts = new char[enough ? highest - lowestBin + 1 : 0][LEVELS];
  }

  private static double[] taps() {
    double[] taps = new double[TAPS];
    double total = 0;
    double cutoff = 0.21;
    for (int i = 0; i < TAPS; i++) {
      double x = i - 0.5 * (TAPS - 1);
      taps[i] = Windows.sinc(cutoff * x) * Windows.kaiserAt(x / (0.5 * TAPS), 7);
      total += taps[i];
    }
    for (int i = 0; i < TAPS; i++) {
      taps[i] /= total;
    }
    return taps;
  }

  void add(float[] samples, int frameCount) {
    if (counts.length == 0) {
      return;
    }
    double running = sum;
    int filled = inSum;
    for (int i = 0; i < frameCount; i++) {
      float x = samples[i];
      // Also false for NaN.
      if (Math.abs(x) <= Float.MAX_VALUE) {
        running += x;
      }
      if (++filled == averaged) {
        push(running / averaged);
        running = 0;
        filled = 0;
      }
    }
    sum = running;
    inSum = filled;
  }

  private void push(double value) {
    line[lineAt] = value;
    lineAt = (lineAt + 1) % TAPS;
    if (++sinceOutput == STEP) {
      sinceOutput = 0;
      double out = 0;
      for (int i = 0; i < TAPS; i++) {
        int at = lineAt + i;
        out += taps[i] * line[at < TAPS ? at : at - TAPS];
      }
      slow[slowCount++] = (float) out;
      if (slowCount == SIZE) {
        close();
        System.arraycopy(slow, HOP, slow, 0, SIZE - HOP);
        slowCount = SIZE - HOP;
      }
    }
  }

  private void close() {
    float[] data = new float[SIZE];
    boolean any = false;
    for (int i = 0; i < SIZE; i++) {
      data[i] = window[i] * slow[i];
      any |= data[i] != 0;
    }
    if (!any || spectra == Character.MAX_VALUE) {
      return;
    }
    Fft.ofSize(SIZE).forward(data);
    // A sine of amplitude a gives a SIZE / 4 at its bin, and a mean square of a^2 / 2.
    double scale = 8.0 / SIZE / SIZE;
    for (int b = 0; b < counts.length; b++) {
      float re = data[2 * (lowestBin + b)];
      float im = data[2 * (lowestBin + b) + 1];
      double db = 10 * Math.log10(scale * ((double) re * re + (double) im * im) + 1e-16);
      int level = (int) ((db - LOWEST_DB) / LEVEL_DB);
      counts[b][Math.max(0, Math.min(LEVELS - 1, level))]++;
    }
    spectra++;
  }

  /** Spectra taken so far, one a second after the first four seconds. */
  int spectra() {
    return spectra;
  }

  /** Hertz from one place of {@link #quantile} to the next. */
  double binHz() {
    return slowHz / SIZE;
  }

  /** Frequency of the first place. */
  double firstHz() {
    return lowestBin * binHz();
  }

  /**
   * The level that a share of the spectra stays below, at each place.
   *
   * @return levels in dBFS (RMS of a sine at that place); empty if nothing was measured
   */
  double[] quantile(double share) {
    if (spectra == 0) {
      return new double[0];
    }
    double[] levels = new double[counts.length];
    double wanted = share * spectra;
    for (int b = 0; b < levels.length; b++) {
      int seen = 0;
      int level = 0;
      while (level < LEVELS - 1 && seen + counts[b][level] <= wanted) {
        seen += counts[b][level];
        level++;
      }
      // Even within the step, so that steps do not show.
      double inStep = (wanted - seen) / Math.max(1, counts[b][level]);
      levels[b] = LOWEST_DB + (level + Math.max(0, Math.min(1, inStep))) * LEVEL_DB;
    }
    return levels;
  }
}
