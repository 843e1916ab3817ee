package hardpan.verdict;

import java.util.Arrays;
import java.util.List;

/**
 * The ceiling that flat tops share: one level near the channel's own maximum, or, where a coupling
 * capacitor makes the whole wave wander, a band of levels that most of the tops lie in.
 */
final class FlatCeiling {
  /** Tops this close below the highest one are at one level. */
  private static final double ONE_LEVEL = 0.02;

  private static final int LEAST_TOPS = 4;
  private static final double FULL_SCALE = 0.999;

  /**
   * A band of a ceiling that wanders.
   *
   * @param from its lower end as a share of the highest top
   * @param leastTops so many must lie in it
   * @param leastShare of all flat tops
   */
  private record Band(double from, int leastTops, double leastShare) {}

  /** Sound that was only loud made at most 7 tops within the first in 16 s on made clips. */
  private static final Band NEAR = new Band(0.75, 12, 0.45);

  private static final Band FAR = new Band(0.5, 60, 0.6);

  /** The band is narrow where this share of the flat samples is at one level. */
  private static final double NARROW_SHARE = 0.7;

  private static final double ALL_BUT_ODD_ONES = 0.05;
  private static final double CERTAIN = 5;

  /**
   * A single top may be as long as this and straight, with corners at both ends, only if it was cut
   * off; sound that was only loud made at most 7 samples on made clips.
   */
  private static final int LONG_FRAMES = 9;

  /** Of the largest value: a lower long top was not made by a ceiling. */
  private static final double LONG_FROM = 0.8;

  private FlatCeiling() {}

  /**
   * Looks for it.
   *
   * @param tops flat tops of one half of the wave
   * @param counts how often each value of that half occurs, in steps of {@link
   *     ChannelMeter#VALUE_BIN_WIDTH}
   * @return {@link BlurredCeiling#NONE} if they share none
   */
  static BlurredCeiling of(TopList tops, long[] counts) {
    BlurredCeiling common = common(tops, counts);
    if (common.level() > 0) {
      return common;
    }
    double highest = 0;
    double least = LONG_FROM * highestValue(counts);
    for (int i = 0; i < tops.count(); i++) {
      if (tops.level(i) >= least && tops.flatSamples(i) >= LONG_FRAMES * tops.tops(i)) {
        highest = Math.max(highest, tops.level(i));
      }
    }
    return highest > 0 ? ceiling(tops, highest * NEAR.from) : BlurredCeiling.NONE;
  }

  /** A level that many tops share, one that wanders included. */
  private static BlurredCeiling common(TopList tops, long[] counts) {
    double highest = 0;
    int all = 0;
    for (int i = 0; i < tops.count(); i++) {
      highest = Math.max(highest, tops.level(i));
      all += tops.tops(i);
    }
    if (highest <= 0 || highestValue(counts) > highest * (1 + 2 * ONE_LEVEL)) {
      return BlurredCeiling.NONE;
    }
    int atOne = 0;
    double weighted = 0;
    double weights = 0;
    double nearWeights = 0;
    for (int i = 0; i < tops.count(); i++) {
      if (tops.level(i) >= highest * (1 - ONE_LEVEL)) {
        atOne += tops.tops(i);
        weighted += (double) tops.level(i) * tops.flatSamples(i);
        weights += tops.flatSamples(i);
      }
      nearWeights += tops.level(i) >= highest * NEAR.from ? tops.flatSamples(i) : 0;
    }
    boolean level = atOne >= LEAST_TOPS || highest >= FULL_SCALE;
    if (level && weights >= NARROW_SHARE * nearWeights) {
      double mean = weighted / weights;
      return new BlurredCeiling(mean, (1 - ONE_LEVEL) * mean, CERTAIN, 0);
    }
    for (Band band : List.of(FAR, NEAR)) {
      int inside = topsFrom(tops, highest * band.from);
      if (inside >= band.leastTops && inside >= band.leastShare * all) {
        return ceiling(tops, highest * band.from);
      }
    }
    return level
        ? new BlurredCeiling(weighted / weights, (1 - ONE_LEVEL) * weighted / weights, CERTAIN, 0)
        : BlurredCeiling.NONE;
  }

  private static int topsFrom(TopList tops, double from) {
    int number = 0;
    for (int i = 0; i < tops.count(); i++) {
      number += tops.level(i) >= from ? tops.tops(i) : 0;
    }
    return number;
  }

  private static BlurredCeiling ceiling(TopList tops, double from) {
    double weights = 0;
    for (int i = 0; i < tops.count(); i++) {
      weights += tops.level(i) >= from ? tops.flatSamples(i) : 0;
    }
    Integer[] order = new Integer[tops.count()];
    Arrays.setAll(order, i -> i);
    Arrays.sort(order, (a, b) -> Float.compare(tops.level(a), tops.level(b)));
    double seen = 0;
    double edge = 0;
    double middle = 0;
    for (int i : order) {
      if (tops.level(i) >= from) {
        seen += tops.flatSamples(i);
        edge = edge == 0 && seen > ALL_BUT_ODD_ONES * weights ? tops.level(i) : edge;
        middle = middle == 0 && seen >= 0.5 * weights ? tops.level(i) : middle;
      }
    }
    return new BlurredCeiling(middle, (1 - 0.5 * ONE_LEVEL) * edge, CERTAIN, 0);
  }

  private static double highestValue(long[] counts) {
    for (int bin = counts.length - 1; bin >= 0; bin--) {
      if (counts[bin] > 0) {
        return bin * ChannelMeter.VALUE_BIN_WIDTH;
      }
    }
    return 0;
  }
}
