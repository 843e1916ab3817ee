package hardpan.verdict;

/**
 * Whether one channel is some function of the other, however bent: the share of its power that the
 * other one's momentary value explains (the correlation ratio, K. Pearson, 1905). A twin that was
 * cut off is no scaled copy, but it still is a function; a second microphone is not.
 *
 * <p>Every fourth sample counts, in steps of a sixteenth of an octave or less. Takes 0.3 MB.
 */
final class CommonShape {
  private static final int EVERY = 4;

  /** Sign, exponent and four bits of the fraction of a float. */
  private static final int SHIFT = 19;

  private static final int STEPS = 1 << (32 - SHIFT);

  private final int[] counts = new int[STEPS];
  private final double[] sums = new double[STEPS];
  private double power;
  private int skip;

  /** Counts {@code of} as explained by {@code by}. */
  void add(float[] of, float[] by, int frameCount) {
    int i = skip;
    for (; i < frameCount; i += EVERY) {
      float y = of[i];
      float x = by[i];
      if (Math.abs(x) <= Float.MAX_VALUE && Math.abs(y) <= Float.MAX_VALUE) {
        int step = Float.floatToRawIntBits(x) >>> SHIFT;
        counts[step]++;
        sums[step] += y;
        power += (double) y * y;
      }
    }
    skip = i - frameCount;
  }

  /** Share of the power that is explained, 0 to 1; 0 for silence. */
  double explained() {
    if (power <= 0) {
      return 0;
    }
    double explained = 0;
    for (int step = 0; step < STEPS; step++) {
      if (counts[step] > 0) {
        explained += sums[step] * sums[step] / counts[step];
      }
    }
    return Math.min(1, explained / power);
  }
}
