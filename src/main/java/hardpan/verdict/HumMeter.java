package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.Windows;
import java.util.ArrayList;
import java.util.List;

/**
 * Slows the sound down to about a thousand samples a second and looks for hum in stretches of about
 * sixteen seconds, each half over the one before.
 *
 * <p>Takes 0.1 MB, and some 80 bytes for every eight seconds with hum.
 */
final class HumMeter {
  private static final int SIZE = 16_384;
  private static final int HOP = SIZE / 2;

  /** Rate after averaging, before the low-pass filter, and after it. */
  private static final double AVERAGED_HZ = 4000;

  private static final int STEP = 4;
  private static final int TAPS = 96;

  /** Slower sound than this has no room for the highest multiples. */
  private static final double LEAST_RATE_HZ = 900;

  private final int averaged;
  private final double slowHz;
  private final boolean measurable;

  private double sum;
  private int inSum;
  private final double[] line = new double[TAPS];
  private int lineAt;
  private int sinceOutput;
  private final float[] slow;
  private int slowCount;
  private int fresh;
  private long slowTotal;
  private final double[] taps = taps();
  private int stretches;
  private final List<Heard> heard = new ArrayList<>();

  /**
   * Hum in one stretch.
   *
   * @param span the stretch, in frames of the source
   */
  record Heard(HumChunk.Found hum, Span span) {}

  HumMeter(int rateHz) {
    this.averaged = Math.max(1, (int) Math.round(rateHz / AVERAGED_HZ));
    this.slowHz = (double) rateHz / averaged / STEP;
    this.measurable = slowHz >= LEAST_RATE_HZ;
    this.slow = new float[measurable ? SIZE : 0];
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
    if (!measurable) {
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
      slowTotal++;
      fresh++;
      if (slowCount == SIZE) {
        close();
        System.arraycopy(slow, HOP, slow, 0, SIZE - HOP);
        slowCount = SIZE - HOP;
      }
    }
  }

  /** Looks at what is left; call once at the end of the sound. */
  void finish() {
    // What is left of a long sound may stay unheard if it is short.
    if (measurable && (stretches == 0 || 2 * fresh >= HOP)) {
      close();
    }
  }

  private void close() {
    HumChunk.Found hum = HumChunk.find(slow, slowCount, slowHz);
    if (hum != null) {
      long start = (slowTotal - slowCount) * averaged * STEP;
      heard.add(new Heard(hum, new Span(start, slowTotal * averaged * STEP)));
    }
    stretches++;
    fresh = 0;
  }

  /** Stretches listened to. */
  int stretches() {
    return stretches;
  }

  /** Those with hum, in order. */
  List<Heard> heard() {
    return heard;
  }
}
