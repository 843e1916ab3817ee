package hardpan.verdict;

import hardpan.media.SourceFacts;
import hardpan.signal.Decibels;
import java.util.Arrays;

/**
 * Everything measured on one channel during the decode pass: peak, power, offset, the distribution
 * of sample values and of short-time levels, and flat tops.
 *
 * <p>By its structure it takes about 1.3 MB, plus four bytes for every 5 ms up to 8 MiB (2.9 MB an
 * hour, up to twice that while the lists grow); flat tops take at most 7.4 MB more, in a channel
 * that is clipped throughout.
 */
final class ChannelMeter {
  /** Bins of the value counts: width 1/4096, so that values up to 2.0 (+6 dBFS) have a place. */
  static final int VALUE_BINS = 8192;

  static final double VALUE_BIN_WIDTH = 2.0 / VALUE_BINS;

  /** Short-time levels: half-decibel steps from -120 dBFS to +12 dBFS. */
  private static final int LEVEL_BINS = 264;

  private static final double LOWEST_LEVEL_DB = -120;

  private static final float BINS_A_UNIT = VALUE_BINS / 2f;

  /** How often each value occurs, those of the negative half behind those of the positive. */
  private final long[] counts = new long[2 * VALUE_BINS];

  private final long[] levelCounts = new long[LEVEL_BINS];
  private final FlatTops flatTops;
  private final LoudCells loudAbove;
  private final LoudCells loudBelow;
  private final LoudExcerpts excerpts = new LoudExcerpts();
  private final FaultMeters faults;
  private final int levelFrames;

  private long frames;
  private double sum;
  private double sumOfSquares;
  private float peak;
  private long notNumbers;
  private double levelSum;
  private int levelFill;
  private long silentLevels;

  ChannelMeter(SourceFacts facts) {
    int rateHz = facts.rateHz();
    this.flatTops = new FlatTops(rateHz);
    this.loudAbove = new LoudCells(rateHz, 1);
    this.loudBelow = new LoudCells(rateHz, -1);
    this.faults = new FaultMeters(facts);
    this.levelFrames = Math.max(1, rateHz / 20);
  }

  void add(float[] samples, int frameCount) {
    flatTops.add(samples, frameCount);
    loudAbove.add(samples, frameCount);
    loudBelow.add(samples, frameCount);
    excerpts.add(samples, frameCount);
    faults.add(samples, frameCount);
    for (int i = 0; i < frameCount; ) {
      int end = Math.min(frameCount, i + levelFrames - levelFill);
      levelFill += end - i;
      count(samples, i, end);
      i = end;
      if (levelFill == levelFrames) {
        closeLevel();
      }
    }
    frames += frameCount;
  }

  private void count(float[] samples, int from, int to) {
    float largest = peak;
    double plain = 0;
    double squares = 0;
    for (int i = from; i < to; i++) {
      float x = samples[i];
      if (!(Math.abs(x) <= Float.MAX_VALUE)) {
        notNumbers++;
        x = 0;
      }
      float size = Math.abs(x);
      largest = Math.max(largest, size);
      plain += x;
      squares += (double) x * x;
      int bin = Math.min(VALUE_BINS - 1, (int) (size * BINS_A_UNIT));
      // The sign bit chooses the half; a branch would be taken at random.
      counts[bin + VALUE_BINS * (Float.floatToRawIntBits(x) >>> 31)]++;
    }
    peak = largest;
    sum += plain;
    levelSum += squares;
  }

  /**
   * Counts what is left of the sound as a level if it is long enough to speak for itself, or all
   * there is; call once at its end.
   */
  void finish() {
    excerpts.finish();
    faults.finish();
    if (2 * levelFill >= levelFrames || (levelFill > 0 && frames < levelFrames)) {
      closeLevel();
    }
  }

  private void closeLevel() {
    sumOfSquares += levelSum;
    if (levelSum <= 0) {
      silentLevels++;
    } else {
      double db = Decibels.ofPower(levelSum / levelFill);
      int bin = (int) Math.floor((db - LOWEST_LEVEL_DB) * 2);
      levelCounts[Math.max(0, Math.min(LEVEL_BINS - 1, bin))]++;
    }
    levelSum = 0;
    levelFill = 0;
  }

  long frames() {
    return frames;
  }

  /** Samples that were NaN or infinite and were counted as silence. */
  long notNumbers() {
    return notNumbers;
  }

  float peak() {
    return peak;
  }

  double mean() {
    return frames == 0 ? 0 : sum / frames;
  }

  double meanSquare() {
    return frames == 0 ? 0 : (sumOfSquares + levelSum) / frames;
  }

  /** The meters that look for one fault each. */
  FaultMeters faults() {
    return faults;
  }

  /** Pieces of the loud passages. */
  LoudExcerpts excerpts() {
    return excerpts;
  }

  FlatTops flatTops() {
    return flatTops;
  }

  /** Cells of the positive half of the wave. */
  LoudCells loudAbove() {
    return loudAbove;
  }

  /** Cells of the negative half of the wave. */
  LoudCells loudBelow() {
    return loudBelow;
  }

  long[] positiveCounts() {
    return Arrays.copyOf(counts, VALUE_BINS);
  }

  long[] negativeCounts() {
    return Arrays.copyOfRange(counts, VALUE_BINS, 2 * VALUE_BINS);
  }

  /** Frames covered by one short-time level (50 ms). */
  int levelFrames() {
    return levelFrames;
  }

  /** Number of 50 ms stretches of digital silence. */
  long silentLevels() {
    return silentLevels;
  }

  /** Number of 50 ms stretches at or above a level. */
  long levelsAtLeast(double dbfs) {
    long total = 0;
    int from = (int) Math.ceil((dbfs - LOWEST_LEVEL_DB) * 2);
    for (int bin = Math.max(0, from); bin < LEVEL_BINS; bin++) {
      total += levelCounts[bin];
    }
    return total;
  }

  /**
   * A quantile of the 50 ms levels, digital silence left out.
   *
   * @param share 0 to 1
   * @return level in dBFS (RMS, 0 dB being a full-scale square wave), negative infinity if there is
   *     nothing but digital silence
   */
  double levelQuantile(double share) {
    long total = 0;
    for (long count : levelCounts) {
      total += count;
    }
    if (total == 0) {
      return Double.NEGATIVE_INFINITY;
    }
    long wanted = (long) Math.floor(share * (total - 1));
    long seen = 0;
    for (int bin = 0; bin < LEVEL_BINS; bin++) {
      seen += levelCounts[bin];
      if (seen > wanted) {
        return LOWEST_LEVEL_DB + (bin + 0.5) / 2;
      }
    }
    return LOWEST_LEVEL_DB + LEVEL_BINS / 2.0;
  }
}
