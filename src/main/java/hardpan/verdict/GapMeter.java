package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Finds places where the sound breaks off and comes back within a few milliseconds, unlike any
 * pause, and stretches of exact zeros.
 *
 * <p>Sound is taken in cells of 2.5 ms. It breaks off where two cells lie far below the 10 ms
 * before the edge, which takes two cells, or some more in lossy sound. In a room no sound dies so
 * fast; and in a pause there is still the noise of room and microphone, but not behind a broken
 * contact or a lost radio link.
 *
 * <p>At most {@value #MOST} of each are kept with their places; the others are counted.
 */
final class GapMeter {
  static final int MOST = 1000;

  private static final int CELLS_PER_SECOND = 400;
  private static final double LOWEST_DB = -140;

  /** A fall this deep within two cells is faster than any voice or room. */
  private static final double FALL_DB = 34;

  private static final int EDGE_CELLS = 2;

  /** A lossy codec smears edges a little. */
  private static final int LOSSY_EDGE_CELLS = 4;

  /** Mean square of what a lossy decoder may put out for nothing. */
  private static final double LOSSY_ZERO = 1e-12;

  private static final double RISE_DB = 24;
  private static final double LEAST_BEFORE_DBFS = -58;

  /** Gaps lie so far below the ordinary pauses, or below this level. */
  private static final double BELOW_FLOOR_DB = 6;

  /** A codec leaves out faint noise now and then. */
  private static final double LOSSY_BELOW_DB = 12;

  /** Pauses lie so far below the loud passages. */
  private static final double QUIET_BELOW_DB = 25;

  private static final double NOTHING_DBFS = -92;
  private static final double LOSSY_NOTHING_DBFS = -120;

  /** The rest between two pulses of a deep voice is shorter. */
  private static final int LEAST_CELLS = 6;

  /** Sound from a gate or without a room has nothing in its pauses; these take more of the time. */
  private static final double MOST_SHARE = 0.08;

  /** In such sound, nothing also begins and ends slowly. */
  private static final double EMPTY_SHARE = 0.2;

  private static final int MOST_CELLS = 3 * CELLS_PER_SECOND / 2;

  /** Shorter runs of zeros may be quiet sound that was rounded away. */
  private static final int ZERO_CELLS = CELLS_PER_SECOND;

  private static final double SOUND_DBFS = -75;
  private static final int RING = 24;
  private static final int BESIDE_CELLS = 4;
  private static final int FLOOR_CELLS = 8;

  private final int cellFrames;
  private final int edgeCells;
  private final double zero;
  private final double[] levels = new double[RING];

  /** Levels of all that was heard, and of what is not in a gap, in steps of 1 dB. */
  private final long[] allCounts = new long[150];

  private final long[] soundCounts = new long[150];
  private final List<Gap> gaps = new ArrayList<>();
  private final List<Span> zeros = new ArrayList<>();

  private double sum;
  private int fill;
  private long cells;
  private double floorPower;
  private int floorFill;

  private long gapStart = -1;
  private double gapBefore;
  private double gapLevel;
  private final double[] gapLevels = new double[MOST_CELLS + 2];
  private long backAt = -1;
  private double levelBeforeReturn;

  private long zeroStart = -1;
  private boolean zeroAfterSound;
  private long waitingZeroStart = -1;
  private long waitingZeroEnd;
  private long missed;

  /**
   * A meter.
   *
   * @param lossy whether the sound comes out of a lossy decoder
   */
  GapMeter(int rateHz, boolean lossy) {
    this.edgeCells = lossy ? LOSSY_EDGE_CELLS : EDGE_CELLS;
    this.cellFrames = Math.max(8, rateHz / CELLS_PER_SECOND);
    this.zero = lossy ? LOSSY_ZERO * cellFrames : 0;
  }

  /**
   * A place without sound.
   *
   * @param span where, to a few milliseconds
   * @param beforeDbfs level right before it
   * @param levelDbfs median level of its cells
   */
  record Gap(Span span, double beforeDbfs, double levelDbfs) {}

  /** Takes the next samples, all of them numbers. */
  void add(float[] samples, int frameCount) {
    for (int i = 0; i < frameCount; ) {
      int end = Math.min(frameCount, i + cellFrames - fill);
      double even = 0;
      double odd = 0;
      fill += end - i;
      // Two sums, so that one addition need not wait for the other.
      for (; i + 1 < end; i += 2) {
        float x = samples[i];
        float y = samples[i + 1];
        even += (double) x * x;
        odd += (double) y * y;
      }
      if (i < end) {
        even += (double) samples[i] * samples[i];
        i++;
      }
      sum += even + odd;
      if (fill == cellFrames) {
        close();
      }
    }
  }

  private void close() {
    double db = Math.max(LOWEST_DB, Decibels.ofPower(sum / cellFrames));
    boolean nothing = sum <= zero;
    sum = 0;
    fill = 0;
    levels[(int) (cells % RING)] = db;
    cells++;
    zeros(nothing);
    count(db);
    if (backAt >= 0) {
      back(db);
    } else if (gapStart >= 0) {
      inGap(db);
    } else {
      inSound(db);
    }
  }

  private void count(double db) {
    floorPower += Math.pow(10, db / 10);
    if (++floorFill == FLOOR_CELLS) {
      double level = Decibels.ofPower(floorPower / FLOOR_CELLS);
      int bin = (int) Math.max(0, Math.min(allCounts.length - 1, level - LOWEST_DB));
      allCounts[bin]++;
      soundCounts[bin] += gapStart < 0 ? 1 : 0;
      floorFill = 0;
      floorPower = 0;
    }
  }

  private double level(int cellsAgo) {
    return levels[(int) ((cells - 1 - cellsAgo) % RING)];
  }

  private void inSound(double db) {
    if (cells < RING) {
      return;
    }
    double inner = Math.max(db, level(1));
    double before = LOWEST_DB;
    for (int ago = 1 + edgeCells; ago <= edgeCells + BESIDE_CELLS; ago++) {
      before = Math.max(before, level(ago));
    }
    if (before >= LEAST_BEFORE_DBFS && inner <= before - FALL_DB) {
      gapStart = cells - 2;
      gapBefore = before;
      gapLevel = inner;
      gapLevels[0] = level(1);
      gapLevels[1] = db;
    }
  }

  private void inGap(double db) {
    if (db <= gapBefore - FALL_DB + 4 && db <= gapLevel + 12) {
      gapLevel = Math.max(gapLevel, db);
      gapLevels[(int) (cells - 1 - gapStart)] = db;
      if (cells - gapStart > MOST_CELLS) {
        gapStart = -1;
      }
      return;
    }
    levelBeforeReturn = Math.min(gapLevel, Math.max(level(1), level(2)));
    backAt = cells - 1;
    back(db);
  }

  /** A few cells more decide whether the sound is back at once. */
  private void back(double db) {
    if (db >= levelBeforeReturn + RISE_DB) {
      if (backAt - gapStart >= LEAST_CELLS) {
        Span span = new Span(gapStart * cellFrames, backAt * cellFrames);
        if (gaps.size() < MOST) {
          double[] inner = Arrays.copyOf(gapLevels, (int) (backAt - gapStart));
          gaps.add(new Gap(span, gapBefore, Statistics.median(inner)));
        } else {
          missed++;
        }
      }
      gapStart = -1;
      backAt = -1;
    } else if (cells - 1 - backAt >= edgeCells) {
      gapStart = -1;
      backAt = -1;
    }
  }

  private void zeros(boolean nothing) {
    if (nothing) {
      if (zeroStart < 0) {
        zeroStart = cells - 1;
        zeroAfterSound = cells > RING && loudest() >= SOUND_DBFS;
      }
      return;
    }
    if (zeroStart >= 0 && cells - 1 - zeroStart >= ZERO_CELLS) {
      waitingZeroStart = zeroStart;
      waitingZeroEnd = cells - 1;
      if (zeroAfterSound) {
        keepZeros();
      }
    }
    zeroStart = -1;
    if (waitingZeroStart >= 0) {
      if (level(0) >= SOUND_DBFS) {
        keepZeros();
      } else if (cells - waitingZeroEnd > RING) {
        waitingZeroStart = -1;
      }
    }
  }

  private double loudest() {
    double most = LOWEST_DB;
    for (int ago = 1; ago < RING; ago++) {
      most = Math.max(most, level(ago));
    }
    return most;
  }

  private void keepZeros() {
    if (zeros.size() < MOST) {
      zeros.add(new Span(waitingZeroStart * cellFrames, waitingZeroEnd * cellFrames));
    }
    waitingZeroStart = -1;
  }

  /** Looks at zeros up to the end; call once. */
  void finish() {
    if (zeroStart >= 0 && cells - zeroStart >= ZERO_CELLS && zeroAfterSound) {
      waitingZeroStart = zeroStart;
      waitingZeroEnd = cells;
      keepZeros();
    }
  }

  /** The places at which sound broke off, in order. */
  List<Gap> gaps() {
    boolean lossy = edgeCells > EDGE_CELLS;
    double quietDb = quantile(allCounts, 0.95, Double.POSITIVE_INFINITY) - QUIET_BELOW_DB;
    double pauses = quantile(allCounts, 0.5, quietDb);
    long inGaps = gaps.stream().mapToLong(gap -> gap.span().frames()).sum();
    int nothing = (int) (NOTHING_DBFS - LOWEST_DB);
    long emptyPauses = Arrays.stream(soundCounts, 0, nothing).sum();
    long empty = Arrays.stream(allCounts, 0, nothing).sum();
    boolean dry = inGaps > MOST_SHARE * cells * cellFrames || emptyPauses > EMPTY_SHARE * empty;
    if (pauses <= NOTHING_DBFS && dry) {
      return List.of();
    }
    // In lossy sound many a pause begins as a gap does, so that gaps must count as pauses too.
    double floor = lossy ? pauses : quantile(soundCounts, 0.05, Double.POSITIVE_INFINITY);
    double most =
        lossy
            ? Math.max(LOSSY_NOTHING_DBFS, floor - LOSSY_BELOW_DB)
            : Math.max(NOTHING_DBFS, floor - BELOW_FLOOR_DB);
    return gaps.stream().filter(gap -> gap.levelDbfs <= most).toList();
  }

  /** A quantile of the 20 ms levels below a level; the lowest there is if there are none. */
  private static double quantile(long[] counts, double share, double belowDb) {
    int bins = (int) Math.max(0, Math.min(counts.length, belowDb - LOWEST_DB));
    long total = Arrays.stream(counts, 0, bins).sum();
    long seen = 0;
    int bin = 0;
    while (bin < bins && (seen += counts[bin]) <= share * total) {
      bin++;
    }
    return LOWEST_DB + (total == 0 ? 0 : bin);
  }

  /** Gaps beyond those kept. */
  long missed() {
    return missed;
  }

  /** Stretches of a second and more of exact zeros that begin or end in sound, in order. */
  List<Span> zeros() {
    return zeros;
  }
}
