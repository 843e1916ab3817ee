package hardpan.verdict;

/**
 * Collects flat tops while the sound streams by: runs of at least three samples that stay level
 * with a corner at both ends. A round peak, however loud, has no corner and is not collected.
 *
 * <p>For a parabola through a peak, the drop two samples outside a level stretch is at most nine
 * times the range inside it; a clipped top drops by much more. That ratio is the test.
 */
final class FlatTops {
  /** A run may vary by this share of its own level (an analogue stage adds a little noise). */
  private static final double LEVEL_TOLERANCE = 0.002;

  private static final float LEAST_LEVEL = 0.02f;
  private static final double LEAST_CORNER_RATIO = 12;
  private static final double LEAST_CORNER_RATIO_SHORT = 16;
  private static final float SIXTEEN_BIT_STEP = 1f / 32768;

  /** Half a wave of sound is never longer than this; what stays level longer is an offset. */
  private final int longestRun;

  private long position;
  private float last;
  private float beforeLast;

  // The level stretch that ends at the last sample.
  private long runStart;
  private int runLength;
  private float runLow;
  private float runHigh;

  /** The lower of the two samples before the stretch, in the direction of its sign. */
  private float runBefore1;

  private float runBefore2;

  // A finished stretch that waits for the second sample after it.
  private boolean waiting;
  private long waitingStart;
  private int waitingLength;
  private float waitingLow;
  private float waitingHigh;
  private float waitingBefore1;
  private float waitingBefore2;

  private final TopList above;
  private final TopList below;

  FlatTops(int rateHz) {
    this.longestRun = Math.max(3, rateHz / 20);
    this.above = new TopList(rateHz);
    this.below = new TopList(rateHz);
  }

  void add(float[] samples, int frameCount) {
    for (int i = 0; i < frameCount; i++) {
      step(samples[i]);
    }
  }

  private void step(float x) {
    if (waiting) {
      judge(last, x);
      waiting = false;
    }
    if (runLength > 0 && fits(x)) {
      runLow = Math.min(runLow, x);
      runHigh = Math.max(runHigh, x);
      runLength++;
    } else {
      if (runLength >= 3 && runLength <= longestRun) {
        waiting = true;
        waitingStart = runStart;
        waitingLength = runLength;
        waitingLow = runLow;
        waitingHigh = runHigh;
        waitingBefore1 = runBefore1;
        waitingBefore2 = runBefore2;
      }
      runLength = Math.abs(x) >= LEAST_LEVEL && Math.abs(x) <= Float.MAX_VALUE ? 1 : 0;
      runStart = position;
      runLow = x;
      runHigh = x;
      runBefore1 = last;
      runBefore2 = beforeLast;
    }
    beforeLast = last;
    last = x;
    position++;
  }

  private boolean fits(float x) {
    float low = Math.min(runLow, x);
    float high = Math.max(runHigh, x);
    return low * high > 0
        && high - low <= LEVEL_TOLERANCE * Math.max(Math.abs(low), Math.abs(high));
  }

  /** Both samples after the waiting stretch are known: are there corners at its ends? */
  private void judge(float after1, float after2) {
    float sign = Math.signum(waitingHigh);
    float inside = sign > 0 ? waitingLow : -waitingHigh;
    double range = waitingHigh - waitingLow + SIXTEEN_BIT_STEP;
    double dropBefore = inside - Math.min(sign * waitingBefore1, sign * waitingBefore2);
    double dropAfter = inside - Math.min(sign * after1, sign * after2);
    double least = waitingLength == 3 ? LEAST_CORNER_RATIO_SHORT : LEAST_CORNER_RATIO;
    if (Math.min(dropBefore, dropAfter) >= least * range) {
      float level = 0.5f * (waitingLow + waitingHigh);
      (level > 0 ? above : below).add(waitingStart, waitingLength, Math.abs(level));
    }
  }

  /** Tops of the positive half of the wave. */
  TopList above() {
    return above;
  }

  /** Tops of the negative half of the wave; levels without sign. */
  TopList below() {
    return below;
  }
}
