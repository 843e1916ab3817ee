package hardpan.signal;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Loudness of a programme after ITU-R BS.1770-5, EBU Tech 3341 v4 and EBU Tech 3342 v4: integrated,
 * range, and the largest momentary and short-term values. Fed block by block; memory does not grow.
 *
 * <p>A mono lane is measured as one channel of weight 1. The powers of channels add up, so a mono
 * split of a signal that sat on both channels of a clip reads 3 LU lower than the clip did; it is
 * not quieter when played on one loudspeaker of the two.
 *
 * <p>Powers are summed in slots of 10 ms. Momentary (0.4 s) and short-term (3 s) windows move by
 * one slot; the gating blocks of the integrated loudness and the values of the range move by ten,
 * as the standards say. Windows that are not filled do not count, so less than 0.4 s of sound has
 * no loudness and less than 3 s no short-term loudness and no range.
 *
 * <p>All results are null where there is nothing to state: no full window, digital silence, or
 * nothing above the gate. They are never NaN or infinite. NaN and infinite samples count as 0.
 *
 * <p>Not safe for use by several threads at once.
 */
public final class LoudnessMeter {
  /** Rates the weighting filter is derived for. */
  public static final int LOWEST_RATE_HZ = 8_000;

  /** Rates the weighting filter is derived for. */
  public static final int HIGHEST_RATE_HZ = 192_000;

  private static final int SLOTS_PER_SECOND = 100;
  private static final int MOMENTARY_SLOTS = 40;
  private static final int SHORT_TERM_SLOTS = 300;
  private static final int STEP_SLOTS = 10;
  private static final double INTEGRATED_GATE_LU = 10;
  private static final double RANGE_GATE_LU = 20;

  /** EBU Tech 3342, section 5: so many more steps of silence belong to the range. */
  private static final int TAIL_STEPS = 15;

  private final int rateHz;
  private final double[] weights;
  private final KWeighting[] filters;

  /** Energy and length of the last slots, in a ring; slot n lies at n modulo the length. */
  private final double[] slotEnergy = new double[SHORT_TERM_SLOTS];

  private final int[] slotFrames = new int[SHORT_TERM_SLOTS];
  private final LoudnessHistogram blocks = new LoudnessHistogram();
  private final LoudnessHistogram shortTerms = new LoudnessHistogram();

  private long slots;
  private double energy;
  private int framesInSlot;
  private int framesToSlotEnd;
  private double maxMomentaryPower;
  private double maxShortTermPower;

  private LoudnessMeter(int rateHz, double[] weights) {
    if (rateHz < LOWEST_RATE_HZ || rateHz > HIGHEST_RATE_HZ) {
      throw new IllegalArgumentException("rate " + rateHz);
    }
    this.rateHz = rateHz;
    this.weights = weights.clone();
    this.filters = new KWeighting[weights.length];
    Arrays.setAll(filters, channel -> new KWeighting(rateHz));
    this.framesToSlotEnd = (int) slotEnd(0);
  }

  /** A meter for one channel of weight 1. */
  public static LoudnessMeter mono(int rateHz) {
    return new LoudnessMeter(rateHz, new double[] {1});
  }

  /**
   * A meter for a set of channels that belong together.
   *
   * @param rateHz 8,000 to 192,000
   * @param weights one a channel, 0 or more: 1 for left, right and centre, 1.41 for left and right
   *     surround, 0 for the low-frequency channel (BS.1770-5, Annex 1, table 3)
   */
  public static LoudnessMeter ofChannels(int rateHz, double... weights) {
    for (double weight : weights) {
      if (!(weight >= 0 && weight <= 10)) {
        throw new IllegalArgumentException("weight " + weight);
      }
    }
    return new LoudnessMeter(rateHz, weights);
  }

  /** Slots end on the nearest frame, so that rates that 100 does not divide stay in step. */
  private long slotEnd(long slot) {
    return ((slot + 1) * rateHz + SLOTS_PER_SECOND / 2) / SLOTS_PER_SECOND;
  }

  /** Takes the next samples of a meter for one channel. */
  public void add(float[] samples, int from, int count) {
    add(new float[][] {samples}, from, count);
  }

  /**
   * Takes the next block.
   *
   * @param planar one array a channel, full scale 1.0
   * @param from first frame to take
   * @param count frames to take, at least 0
   */
  public void add(float[][] planar, int from, int count) {
    if (planar.length != filters.length) {
      throw new IllegalArgumentException(planar.length + " channels");
    }
    for (int done = 0; done < count; ) {
      int frames = Math.min(count - done, framesToSlotEnd);
      for (int channel = 0; channel < filters.length; channel++) {
        energy +=
            weights[channel] * filters[channel].energyOf(planar[channel], from + done, frames);
      }
      done += frames;
      framesInSlot += frames;
      framesToSlotEnd -= frames;
      if (framesToSlotEnd == 0) {
        endSlot();
      }
    }
  }

  private void endSlot() {
    int place = (int) (slots % SHORT_TERM_SLOTS);
    slotEnergy[place] = energy;
    slotFrames[place] = framesInSlot;
    slots++;
    energy = 0;
    framesInSlot = 0;
    framesToSlotEnd = (int) (slotEnd(slots) - slotEnd(slots - 1));
    boolean step = slots % STEP_SLOTS == 0;
    if (slots >= MOMENTARY_SLOTS) {
      double power = power(MOMENTARY_SLOTS);
      maxMomentaryPower = Math.max(maxMomentaryPower, power);
      if (step) {
        blocks.add(power);
      }
    }
    if (slots >= SHORT_TERM_SLOTS) {
      double power = power(SHORT_TERM_SLOTS);
      maxShortTermPower = Math.max(maxShortTermPower, power);
      if (step) {
        shortTerms.add(power);
      }
    }
  }

  /** Mean weighted power of the last slots. */
  private double power(int count) {
    double sum = 0;
    long frames = 0;
    for (long slot = slots - count; slot < slots; slot++) {
      int place = (int) (slot % SHORT_TERM_SLOTS);
      sum += slotEnergy[place];
      frames += slotFrames[place];
    }
    return sum / frames;
  }

  /** Integrated loudness in LUFS, gated at -70 LUFS and 10 LU below the ungated mean. */
  public @Nullable Double integratedLufs() {
    return blocks.gatedMeanLufs(INTEGRATED_GATE_LU);
  }

  /**
   * Loudness range in LU: 95th less 10th percentile of the short-term loudness, gated at -70 LUFS
   * and 20 LU below the mean. The 1.5 s of silence that EBU Tech 3342 asks for at the end of a file
   * is put in here. Says little about programmes of less than a minute (EBU R 128 v5).
   */
  public @Nullable Double loudnessRangeLu() {
    if (slots < SHORT_TERM_SLOTS) {
      return null;
    }
    LoudnessHistogram values = shortTerms.copy();
    for (int step = 1; step <= TAIL_STEPS; step++) {
      int sounding = SHORT_TERM_SLOTS - step * STEP_SLOTS;
      values.add(power(sounding) * sounding / SHORT_TERM_SLOTS);
    }
    return values.percentileRangeLu(RANGE_GATE_LU, 10, 95);
  }

  /** Largest momentary loudness in LUFS, ungated, found in steps of 10 ms. */
  public @Nullable Double maxMomentaryLufs() {
    return lufsOrNull(maxMomentaryPower);
  }

  /** Largest short-term loudness in LUFS, ungated, found in steps of 10 ms. */
  public @Nullable Double maxShortTermLufs() {
    return lufsOrNull(maxShortTermPower);
  }

  /** Momentary loudness in LUFS at the end of the last full 10 ms. */
  public @Nullable Double momentaryLufs() {
    return slots < MOMENTARY_SLOTS ? null : lufsOrNull(power(MOMENTARY_SLOTS));
  }

  /** Short-term loudness in LUFS at the end of the last full 10 ms. */
  public @Nullable Double shortTermLufs() {
    return slots < SHORT_TERM_SLOTS ? null : lufsOrNull(power(SHORT_TERM_SLOTS));
  }

  private static @Nullable Double lufsOrNull(double power) {
    double lufs = LoudnessHistogram.lufs(power);
    return Double.isFinite(lufs) ? lufs : null;
  }
}
