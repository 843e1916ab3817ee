package hardpan.verdict;

import hardpan.signal.Windows;

/**
 * Slows sound down to about a thousand samples a second; what lies above some 400 Hz is filtered
 * out.
 */
final class SlowSound {
  /** Rate after averaging, before the low-pass filter, and after it. */
  private static final double AVERAGED_HZ = 4000;

  private static final int STEP = 4;
  private static final int TAPS = 96;

  private final int averaged;
  private final double rateHz;
  private final Sink[] sinks;
  private final double[] taps = taps();
  private final double[] line = new double[2 * TAPS];
  private double sum;
  private int inSum;
  private int lineAt;
  private int sinceOutput;

  /** Takes slow samples one by one. */
  interface Sink {
    /** The next sample. */
    void add(float sample);
  }

  /**
   * A slower.
   *
   * @param sourceRateHz rate of what goes in
   */
  SlowSound(int sourceRateHz, Sink... sinks) {
    this.averaged = averaged(sourceRateHz);
    this.rateHz = rateHz(sourceRateHz);
    this.sinks = sinks;
  }

  private static int averaged(int sourceRateHz) {
    return Math.max(1, (int) Math.round(sourceRateHz / AVERAGED_HZ));
  }

  /** Rate of what comes out. */
  static double rateHz(int sourceRateHz) {
    return (double) sourceRateHz / framesPerSample(sourceRateHz);
  }

  /** Frames of the source for each slow sample. */
  static int framesPerSample(int sourceRateHz) {
    return averaged(sourceRateHz) * STEP;
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

  /** Rate of what comes out. */
  double rateHz() {
    return rateHz;
  }

  /** Takes the next samples, all of them numbers. */
  void add(float[] samples, int frameCount) {
    for (int i = 0; i < frameCount; ) {
      int end = Math.min(frameCount, i + averaged - inSum);
      inSum += end - i;
      double even = 0;
      double odd = 0;
      // Two sums, so that one addition need not wait for the other.
      for (; i + 1 < end; i += 2) {
        even += samples[i];
        odd += samples[i + 1];
      }
      if (i < end) {
        even += samples[i];
        i++;
      }
      sum += even + odd;
      if (inSum == averaged) {
        push(sum / averaged);
        sum = 0;
        inSum = 0;
      }
    }
  }

  private void push(double value) {
    // Twice, so that the last values stand in a row wherever the newest is.
    line[lineAt] = value;
    line[lineAt + TAPS] = value;
    lineAt = (lineAt + 1) % TAPS;
    if (++sinceOutput < STEP) {
      return;
    }
    sinceOutput = 0;
    double even = 0;
    double odd = 0;
    for (int i = 0; i < TAPS; i += 2) {
      even += taps[i] * line[lineAt + i];
      odd += taps[i + 1] * line[lineAt + i + 1];
    }
    for (Sink sink : sinks) {
      sink.add((float) (even + odd));
    }
  }
}
