package hardpan.verdict;

import hardpan.base.Span;
import java.util.ArrayList;
import java.util.List;

/**
 * Looks for hum in stretches of about sixteen seconds, each half over the one before.
 *
 * <p>Takes 0.1 MB, and some 80 bytes for every eight seconds with hum.
 */
final class HumMeter implements SlowSound.Sink {
  private static final int SIZE = 16_384;
  private static final int HOP = SIZE / 2;

  /** Slower sound than this has no room for the highest multiples. */
  private static final double LEAST_RATE_HZ = 900;

  private final double slowHz;
  private final int framesPerSample;
  private final boolean measurable;
  private final float[] slow;
  private int slowCount;
  private int fresh;
  private long slowTotal;
  private int stretches;
  private final List<Heard> heard = new ArrayList<>();

  /**
   * Hum in one stretch.
   *
   * @param span the stretch, in frames of the source
   */
  record Heard(HumChunk.Found hum, Span span) {}

  HumMeter(int rateHz) {
    this.slowHz = SlowSound.rateHz(rateHz);
    this.framesPerSample = SlowSound.framesPerSample(rateHz);
    this.measurable = slowHz >= LEAST_RATE_HZ;
    this.slow = new float[measurable ? SIZE : 0];
  }

  @Override
  public void add(float sample) {
    if (!measurable) {
      return;
    }
    slow[slowCount++] = sample;
    slowTotal++;
    fresh++;
    if (slowCount == SIZE) {
      close();
      System.arraycopy(slow, HOP, slow, 0, SIZE - HOP);
      slowCount = SIZE - HOP;
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
      Span span = new Span((slowTotal - slowCount) * framesPerSample, slowTotal * framesPerSample);
      heard.add(new Heard(hum, span));
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
