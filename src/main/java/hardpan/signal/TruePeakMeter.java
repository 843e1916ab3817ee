package hardpan.signal;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * The true peak of one channel after ITU-R BS.1770-5, Annex 2: fourfold oversampling by the filter
 * printed there below 96 kHz, twofold (every other phase) below 192 kHz, none above. The samples
 * themselves count as well, so the true peak is never below the sample peak. The sound is silent
 * before its first and after its last sample.
 *
 * <p>Fast because it does not interpolate where it need not: the filter cannot put out more than
 * the largest sample under it times the sum of its absolute coefficients, and where that stays
 * below the peak already found, nothing can change. The result is the same as without.
 *
 * <p>Under-reads by at most 0.69 dB just below half the sample rate (Annex 2, attachment 1). NaN,
 * infinities and samples beyond 1e30 count as 0. Not safe for use by several threads at once.
 */
public final class TruePeakMeter {
  private static final int TAPS = 12;
  private static final int MEMORY = TAPS - 1;
  private static final int BLOCK = 64;

  /** 600 dB over full scale; what is larger is no sound and would overflow the sums. */
  private static final float LARGEST_SAMPLE = 1e30f;

  /** Phases 0 and 1 in units of 2 to the power of -13; 3 and 2 are the same backwards. */
  private static final int[][] PRINTED = {
    {14, 90, -161, 272, -487, 1125, 7964, -838, 390, -218, 122, -68},
    {-239, 240, -424, 730, -1364, 3810, 6388, -1641, 832, -477, 271, -155}
  };

  private static final float[][] FOURFOLD = {
    forwards(PRINTED[0]), forwards(PRINTED[1]), backwards(PRINTED[1]), backwards(PRINTED[0])
  };

  private static final float[][] TWOFOLD = {FOURFOLD[0], FOURFOLD[2]};

  private final float[][] phases;

  /** The most a phase can put out for samples of at most 1. */
  private final float reach;

  /** The last samples, then the block at hand. */
  private final float[] line = new float[MEMORY + BLOCK];

  private final float[] sums = new float[BLOCK];
  private final float least;
  private float samplePeak;
  private float peak;

  /**
   * A meter for one channel.
   *
   * @param rateHz sample rate, above 0; decides the oversampling
   */
  public TruePeakMeter(int rateHz) {
    this(rateHz, 0);
  }

  private TruePeakMeter(int rateHz, float least) {
    if (rateHz <= 0) {
      throw new IllegalArgumentException("rate " + rateHz);
    }
    this.least = least;
    this.peak = least;
    this.phases = rateHz < 96_000 ? FOURFOLD : rateHz < 192_000 ? TWOFOLD : new float[0][];
    float most = 0;
    for (float[] phase : phases) {
      float sum = 0;
      for (float coefficient : phase) {
        sum += Math.abs(coefficient);
      }
      most = Math.max(most, sum);
    }
    this.reach = most;
  }

  /**
   * A meter that does not look for peaks up to a level, and so has less to do.
   *
   * @param least factor of full scale, 0 or more; peaks up to it read as it
   */
  public static TruePeakMeter above(int rateHz, float least) {
    return new TruePeakMeter(rateHz, least);
  }

  private static float[] forwards(int[] printed) {
    float[] phase = new float[TAPS];
    for (int tap = 0; tap < TAPS; tap++) {
      phase[tap] = printed[tap] * 0x1p-13f;
    }
    return phase;
  }

  private static float[] backwards(int[] printed) {
    float[] phase = new float[TAPS];
    for (int tap = 0; tap < TAPS; tap++) {
      phase[tap] = printed[TAPS - 1 - tap] * 0x1p-13f;
    }
    return phase;
  }

  /**
   * Takes the next samples.
   *
   * @param samples full scale 1.0; values beyond it count as they are
   * @param from first sample to take
   * @param count samples to take, at least 0
   */
  public void add(float[] samples, int from, int count) {
    for (int done = 0; done < count; ) {
      int length = Math.min(BLOCK, count - done);
      for (int i = 0; i < length; i++) {
        float sample = samples[from + done + i];
        line[MEMORY + i] = Math.abs(sample) <= LARGEST_SAMPLE ? sample : 0;
      }
      peak = measure(length, peak);
      System.arraycopy(line, length, line, 0, MEMORY);
      done += length;
    }
  }

  /** The peak with the block at hand taken in. */
  private float measure(int length, float before) {
    float local = 0;
    for (int i = 0; i < MEMORY; i++) {
      local = Math.max(local, Math.abs(line[i]));
    }
    float inBlock = 0;
    for (int i = MEMORY; i < MEMORY + length; i++) {
      inBlock = Math.max(inBlock, Math.abs(line[i]));
    }
    samplePeak = Math.max(samplePeak, inBlock);
    float found = Math.max(before, inBlock);
    if (Math.max(local, inBlock) * reach <= found) {
      return found;
    }
    for (float[] phase : phases) {
      found = Math.max(found, largest(phase, length));
    }
    return found;
  }

  /** The largest output of one phase over the block. Loops ordered so that they vectorise. */
  private float largest(float[] phase, int length) {
    float first = phase[0];
    for (int i = 0; i < length; i++) {
      sums[i] = first * line[MEMORY + i];
    }
    for (int tap = 1; tap < TAPS; tap++) {
      float coefficient = phase[tap];
      int shift = MEMORY - tap;
      for (int i = 0; i < length; i++) {
        sums[i] += coefficient * line[shift + i];
      }
    }
    float largest = 0;
    for (int i = 0; i < length; i++) {
      largest = Math.max(largest, Math.abs(sums[i]));
    }
    return largest;
  }

  /**
   * The true peak as a factor of full scale since the last call or the beginning, without what
   * would follow if the sound ended here; it is forgotten then.
   */
  public double takePeak() {
    float taken = peak;
    peak = least;
    return taken;
  }

  /** The true peak as a factor of full scale so far, 0 for silence. */
  public double truePeak() {
    float[] kept = line.clone();
    Arrays.fill(line, MEMORY, MEMORY + MEMORY, 0);
    float withTail = measure(MEMORY, peak);
    System.arraycopy(kept, 0, line, 0, line.length);
    return withTail;
  }

  /** The true peak in dBTP, or null for silence or no samples at all. */
  public @Nullable Double truePeakDbtp() {
    return decibels(truePeak());
  }

  /** The largest sample in dBFS, or null for silence or no samples at all. */
  public @Nullable Double samplePeakDbfs() {
    return decibels(samplePeak);
  }

  private static @Nullable Double decibels(double factor) {
    return factor > 0 ? 20 * Math.log10(factor) : null;
  }
}
