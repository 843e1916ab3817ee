package hardpan.verdict;

/**
 * Collects flat tops while the sound streams by: runs of at least three samples that lie on one
 * nearly level line with a corner at both ends. A round peak, however loud, has no corner and is
 * not collected. The line may tilt a little: behind a coupling capacitor the flat top of a cut wave
 * sinks towards the middle.
 *
 * <p>For a parabola through a peak, the drop two samples outside a straight stretch is at most nine
 * times the range inside it; a clipped top drops by much more. That ratio is the test.
 */
final class FlatTops {
  /** Samples may be off the line by this share of their level (a stage adds a little noise). */
  private static final double LEVEL_TOLERANCE = 0.001;

  /** Steepest tilt in shares of the level a second: a first-order high-pass at 30 Hz. */
  private static final double MOST_TILT = 2 * Math.PI * 30;

  /** Of the largest value so far; what is lower is no ceiling. */
  private static final float LEAST_SHARE = 0.1f;

  private static final int LEAST_TILTED = 5;
  private static final float LEAST_LEVEL = 0.02f;
  private static final double LEAST_CORNER_RATIO = 12;
  private static final double LEAST_CORNER_RATIO_SHORT = 16;
  private static final float SIXTEEN_BIT_STEP = 1f / 32768;

  /** Half a wave of sound is never longer than this; what stays level longer is an offset. */
  private final int longestRun;

  private final double mostTilt;
  private long position;
  private float largest;
  private float last;
  private float beforeLast;

  // The straight stretch that ends at the last sample, and which tilts all its samples allow.
  private final float[] run;
  private long runStart;
  private int runLength;
  private double leastSlope;
  private double mostSlope;
  private float runBefore1;
  private float runBefore2;

  // A finished stretch that waits for the second sample after it.
  private boolean waiting;
  private long waitingStart;
  private int waitingLength;
  private double waitingMiddle;
  private double waitingSlope;
  private double waitingRange;
  private double waitingDrop;

  private final TopList above;
  private final TopList below;

  FlatTops(int rateHz) {
    this.longestRun = Math.max(3, rateHz / 20);
    this.mostTilt = MOST_TILT / rateHz;
    this.run = new float[longestRun + 1];
    this.above = new TopList(rateHz);
    this.below = new TopList(rateHz);
  }

  void add(float[] samples, int frameCount) {
    for (int i = 0; i < frameCount; i++) {
      if (runLength == 0 && !waiting) {
        i = passQuiet(samples, i, frameCount);
        if (i == frameCount) {
          return;
        }
      }
      step(samples[i]);
    }
  }

  /** Goes over samples that are too quiet to begin a flat top; most are. */
  private int passQuiet(float[] samples, int from, int frameCount) {
    float least = Math.max(LEAST_LEVEL, LEAST_SHARE * largest);
    int i = from;
    while (i < frameCount && Math.abs(samples[i]) < least) {
      i++;
    }
    if (i > from) {
      beforeLast = i - from > 1 ? samples[i - 2] : last;
      last = samples[i - 1];
      position += i - from;
    }
    return i;
  }

  private void step(float x) {
    if (waiting) {
      judge(last, x);
      waiting = false;
    }
    if (runLength > 0 && fits(x)) {
      if (runLength < run.length) {
        run[runLength] = x;
      }
      runLength++;
    } else {
      if (runLength >= 3 && runLength <= longestRun) {
        if (runLength < LEAST_TILTED) {
          closeShort();
        } else {
          close();
        }
      }
      float size = Math.abs(x);
      boolean number = size <= Float.MAX_VALUE;
      largest = number ? Math.max(largest, size) : largest;
      runLength = number && size >= LEAST_LEVEL && size >= LEAST_SHARE * largest ? 1 : 0;
      runStart = position;
      run[0] = x;
      mostSlope = mostTilt * Math.abs(x);
      leastSlope = -mostSlope;
      runBefore1 = last;
      runBefore2 = beforeLast;
    }
    beforeLast = last;
    last = x;
    position++;
  }

  /** Whether a line through the first sample passes all samples and this one closely enough. */
  private boolean fits(float x) {
    float first = run[0];
    if (!(x * first > 0)) {
      return false;
    }
    double tolerance = LEVEL_TOLERANCE * Math.abs(first);
    double away = Math.abs(x - first);
    // Most samples leave here, before anything is divided.
    if (away > tolerance + runLength * mostTilt * Math.abs(first)) {
      return false;
    }
    double least = Math.max(leastSlope, (x - first - tolerance) / runLength);
    double most = Math.min(mostSlope, (x - first + tolerance) / runLength);
    if (!(least <= most)) {
      return false;
    }
    leastSlope = least;
    mostSlope = most;
    return true;
  }

  /** A short stretch must be level: so few samples lie on some line by chance too often. */
  private void closeShort() {
    float low = Math.min(run[0], Math.min(run[1], run[2]));
    float high = Math.max(run[0], Math.max(run[1], run[2]));
    double sum = (double) run[0] + run[1] + run[2];
    if (runLength == 4) {
      low = Math.min(low, run[3]);
      high = Math.max(high, run[3]);
      sum += run[3];
    }
    waitingMiddle = sum / runLength;
    waitingSlope = 0;
    waitingRange = high - low;
    keep();
  }

  /** Draws the best line through the stretch and keeps what the corners are judged by. */
  private void close() {
    double centre = 0.5 * (runLength - 1);
    double sum = 0;
    double weighted = 0;
    double weights = 0;
    for (int i = 0; i < runLength; i++) {
      sum += run[i];
      weighted += (i - centre) * run[i];
      weights += (i - centre) * (i - centre);
    }
    waitingMiddle = sum / runLength;
    waitingSlope = weighted / weights;
    double lowest = Double.POSITIVE_INFINITY;
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < runLength; i++) {
      double off = run[i] - waitingMiddle - (i - centre) * waitingSlope;
      lowest = Math.min(lowest, off);
      highest = Math.max(highest, off);
    }
    waitingStart = runStart;
    waitingLength = runLength;
    waitingRange = highest - lowest;
    keep();
  }

  /** Waits for the other corner if there is one on this side. */
  private void keep() {
    double centre = 0.5 * (runLength - 1);
    waitingStart = runStart;
    waitingLength = runLength;
    waitingDrop = Math.max(drop(-1 - centre, runBefore1), drop(-2 - centre, runBefore2));
    waiting =
        waitingRange <= 2 * LEVEL_TOLERANCE * Math.abs(waitingMiddle) && waitingDrop >= leastDrop();
  }

  private double leastDrop() {
    double least = waitingLength == 3 ? LEAST_CORNER_RATIO_SHORT : LEAST_CORNER_RATIO;
    return least * (waitingRange + SIXTEEN_BIT_STEP);
  }

  /** How far a sample beside the stretch falls short of the line, less what noise may do. */
  private double drop(double fromCentre, float sample) {
    double line = waitingMiddle + fromCentre * waitingSlope;
    return Math.signum(waitingMiddle) * (line - sample) - 0.5 * waitingRange;
  }

  /** Both samples after the waiting stretch are known: are there corners at its ends? */
  private void judge(float after1, float after2) {
    double centre = 0.5 * (waitingLength - 1);
    double dropAfter =
        Math.max(drop(waitingLength - centre, after1), drop(waitingLength + 1 - centre, after2));
    if (dropAfter >= leastDrop()) {
      (waitingMiddle > 0 ? above : below)
          .add(waitingStart, waitingLength, (float) Math.abs(waitingMiddle));
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
