package hardpan.signal;

import org.jspecify.annotations.Nullable;

/**
 * Counts of loudness values from -70 LUFS up in steps of 0.01 LU, with the exact power summed in
 * each step. So memory does not grow with the programme, means are exact but for where a gate cuts
 * a step in two, and percentiles are right to 0.01 LU.
 */
final class LoudnessHistogram {
  /** The absolute gate of ITU-R BS.1770-5 and EBU Tech 3342. */
  static final double ABSOLUTE_GATE_LUFS = -70;

  private static final int STEPS_PER_LU = 100;
  private static final int STEPS = 120 * STEPS_PER_LU;

  private final long[] counts;
  private final double[] powers;

  LoudnessHistogram() {
    this(new long[STEPS], new double[STEPS]);
  }

  private LoudnessHistogram(long[] counts, double[] powers) {
    this.counts = counts;
    this.powers = powers;
  }

  LoudnessHistogram copy() {
    return new LoudnessHistogram(counts.clone(), powers.clone());
  }

  /** The offset in BS.1770-5, equation 2, that makes a 997 Hz tone read its level. */
  static double lufs(double power) {
    return -0.691 + 10 * Math.log10(power);
  }

  /** Takes one value; what lies below the absolute gate, or is no number, is dropped. */
  void add(double power) {
    double lufs = lufs(power);
    if (lufs >= ABSOLUTE_GATE_LUFS && power <= Double.MAX_VALUE) {
      int step = stepOf(lufs);
      counts[step]++;
      powers[step] += power;
    }
  }

  private static int stepOf(double lufs) {
    return (int) Math.max(0, Math.min(STEPS - 1, (lufs - ABSOLUTE_GATE_LUFS) * STEPS_PER_LU));
  }

  /**
   * The first step above a gate that lies so many LU below the mean of all values. The last step
   * holds everything louder, so a gate beyond it still lets it pass.
   */
  private int firstStep(double gateLu) {
    Double mean = meanFrom(0);
    if (mean == null) {
      return 0;
    }
    double step = Math.ceil((mean - gateLu - ABSOLUTE_GATE_LUFS) * STEPS_PER_LU);
    return (int) Math.max(0, Math.min(STEPS - 1, step));
  }

  private @Nullable Double meanFrom(int first) {
    long count = 0;
    double power = 0;
    for (int step = first; step < STEPS; step++) {
      count += counts[step];
      power += powers[step];
    }
    return count == 0 ? null : lufs(power / count);
  }

  /** The mean of the values above the relative gate, or null if there are none. */
  @Nullable Double gatedMeanLufs(double gateLu) {
    return meanFrom(firstStep(gateLu));
  }

  /**
   * The distance between two percentiles of the values above the relative gate, or null if there
   * are none. Nearest rank as in EBU Tech 3342, section 5.
   */
  @Nullable Double percentileRangeLu(double gateLu, double lowPercent, double highPercent) {
    int first = firstStep(gateLu);
    long count = 0;
    for (int step = first; step < STEPS; step++) {
      count += counts[step];
    }
    if (count == 0) {
      return null;
    }
    return valueAt(first, Math.round((count - 1) * highPercent / 100))
        - valueAt(first, Math.round((count - 1) * lowPercent / 100));
  }

  /** The value of the given rank, from 0, among those from a step on. */
  private double valueAt(int first, long rank) {
    long passed = 0;
    for (int step = first; step < STEPS; step++) {
      passed += counts[step];
      if (passed > rank) {
        return lufs(powers[step] / counts[step]);
      }
    }
    throw new IllegalArgumentException("rank " + rank + " of " + passed);
  }
}
