package hardpan.signal;

import java.util.Arrays;

/**
 * Brings sound to half its sample rate and back, for work that uses only the lower part of the
 * band. The filter is a half-band one under a Kaiser window (J. F. Kaiser and R. W. Schafer, IEEE
 * Trans. ASSP 28, 1980, for its length and shape; M. Bellanger and others, IEEE Trans. ASSP 22,
 * 1974, for half-band filters): every second weight is nothing, so it costs a quarter.
 *
 * <p>Immutable and safe to share between threads.
 */
final class HalfRate {
  /** By the rule for the length, which is good to some decibels. */
  private static final double ATTENUATION_DB = 60;

  /** The rule is worse for short filters, and these cost little. */
  private static final int FEWEST_WEIGHTS = 8;

  /** The steeper the filter the longer; up to here it is worth its work. */
  private static final double HIGHEST_SHARE = 0.23;

  /** Outputs made at a time, so that what they need stays near. */
  private static final int BLOCK = 1024;

  /** Weights at 1, 3, 5 ... samples from the middle; the middle has one half. */
  private final float[] weights;

  /**
   * A filter.
   *
   * @param rateHz the full rate
   * @param highestHz up to here all stays; {@link #serves} must hold
   */
  HalfRate(double rateHz, double highestHz) {
    if (!serves(rateHz, highestHz)) {
      throw new IllegalArgumentException(highestHz + " Hz of " + rateHz);
    }
    double transition = 2 * Math.PI * (0.5 - 2 * highestHz / rateHz);
    double length = (ATTENUATION_DB - 8) / (2.285 * transition);
    double beta = 0.1102 * (ATTENUATION_DB - 8.7);
    this.weights = new float[Math.max(FEWEST_WEIGHTS, (int) Math.ceil((length + 1) / 4))];
    double sum = 0;
    double[] wanted = new double[weights.length];
    for (int i = 0; i < wanted.length; i++) {
      int distance = 2 * i + 1;
      wanted[i] =
          Windows.sinc(distance / 2.0) * Windows.kaiserAt(distance / (2.0 * wanted.length), beta);
      sum += 2 * wanted[i];
    }
    for (int i = 0; i < wanted.length; i++) {
      weights[i] = (float) (0.5 * wanted[i] / sum);
    }
  }

  /** Whether half the rate has room for a band and a filter of moderate length. */
  static boolean serves(double rateHz, double highestHz) {
    return highestHz > 0 && highestHz <= HIGHEST_SHARE * rateHz;
  }

  /**
   * Every second sample of the filtered sound, beginning with the first. What lies outside counts
   * as silence.
   *
   * @param sound any length
   * @param halved takes the result; its first {@code (length + 1) / 2} elements are set
   */
  void halve(float[] sound, float[] halved) {
    int count = (sound.length + 1) / 2;
    int margin = weights.length;
    // Sample 2k + 1 lies between outputs k and k + 1.
    float[] between = new float[count + 2 * margin];
    for (int i = 0; i < sound.length / 2; i++) {
      between[margin + i] = sound[2 * i + 1];
    }
    float[] out = new float[count];
    for (int i = 0; i < count; i++) {
      out[i] = 0.5f * sound[2 * i];
    }
    addBetween(between, margin, out, 1);
    System.arraycopy(out, 0, halved, 0, count);
  }

  /**
   * The values of a band-limited sequence at twice its rate.
   *
   * @param halved one turn of a sequence that goes on in circles
   * @param count how many values, at most twice the length
   */
  float[] doubled(float[] halved, int count) {
    int margin = weights.length;
    int pairs = (count + 1) / 2;
    float[] known = new float[pairs + 2 * margin];
    for (int i = 0; i < margin; i++) {
      known[i] = halved[Math.floorMod(i - margin, halved.length)];
      known[margin + pairs + i] = halved[(pairs + i) % halved.length];
    }
    System.arraycopy(halved, 0, known, margin, pairs);
    float[] between = new float[pairs];
    // Value k of what lies between stands after value k of what is known.
    addBetween(known, margin + 1, between, 2);
    float[] result = new float[2 * pairs];
    for (int i = 0; i < pairs; i++) {
      result[2 * i] = halved[i];
      result[2 * i + 1] = between[i];
    }
    return result.length == count ? result : Arrays.copyOf(result, count);
  }

  /**
   * Adds the weighted neighbours to all of {@code out}: of output k they are elements {@code k +
   * middle} and on, and those before.
   */
  private void addBetween(float[] values, int middle, float[] out, float gain) {
    int some = Math.min(BLOCK, out.length);
    float[] sum = new float[some];
    float[] after = new float[some];
    float[] before = new float[some];
    for (int start = 0; start < out.length; start += BLOCK) {
      int count = Math.min(BLOCK, out.length - start);
      System.arraycopy(out, start, sum, 0, count);
      for (int i = 0; i < weights.length; i++) {
        // Copied beside each other, for then the machine takes many at once; that is faster.
        System.arraycopy(values, start + middle + i, after, 0, count);
        System.arraycopy(values, start + middle - 1 - i, before, 0, count);
        addWeighted(after, before, gain * weights[i], sum, count);
      }
      System.arraycopy(sum, 0, out, start, count);
    }
  }

  private static void addWeighted(
      float[] after, float[] before, float weight, float[] sum, int count) {
    for (int i = 0; i < count; i++) {
      sum[i] += weight * (after[i] + before[i]);
    }
  }
}
