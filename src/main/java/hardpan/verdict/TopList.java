package hardpan.verdict;

import java.util.Arrays;

/**
 * Flat tops of one half of a wave in order of time, merged where they lie near each other at the
 * same level.
 *
 * <p>Holds at most {@value #LONGEST} entries of 28 bytes: when they are used up, tops farther apart
 * are merged too, the higher one giving the level, because a ceiling is never exceeded.
 */
final class TopList {
  static final int LONGEST = 1 << 17;

  /** Tops whose levels differ by less than this share are at one level. */
  private static final double SAME_LEVEL = 0.01;

  private long mergeFrames;
  private int count;
  private long[] starts = new long[64];
  private long[] ends = new long[64];
  private float[] levels = new float[64];
  private int[] flatSamples = new int[64];
  private int[] tops = new int[64];

  TopList(int rateHz) {
    this.mergeFrames = Math.max(1, rateHz / 200);
  }

  void add(long start, int length, float level) {
    int newest = count - 1;
    if (newest >= 0
        && start - ends[newest] <= mergeFrames
        && Math.abs(level - levels[newest]) <= SAME_LEVEL * level) {
      ends[newest] = start + length;
      flatSamples[newest] += length;
      tops[newest]++;
      return;
    }
    if (count == LONGEST) {
      compact();
    }
    if (count == starts.length) {
      int larger = count * 2;
      starts = Arrays.copyOf(starts, larger);
      ends = Arrays.copyOf(ends, larger);
      levels = Arrays.copyOf(levels, larger);
      flatSamples = Arrays.copyOf(flatSamples, larger);
      tops = Arrays.copyOf(tops, larger);
    }
    starts[count] = start;
    ends[count] = start + length;
    levels[count] = level;
    flatSamples[count] = length;
    tops[count] = 1;
    count++;
  }

  /** Merges neighbours, the nearest first, until half of the room is free. */
  private void compact() {
    mergeNeighbours();
    while (count > LONGEST / 2) {
      mergeFrames *= 2;
      mergeNeighbours();
    }
  }

  private void mergeNeighbours() {
    int kept = 0;
    for (int i = 1; i < count; i++) {
      // Without the second condition evenly spaced tops would run into one.
      if (starts[i] - ends[kept] <= mergeFrames && ends[i] - starts[kept] <= 8 * mergeFrames) {
        mergeInto(kept, i);
      } else {
        kept++;
        starts[kept] = starts[i];
        ends[kept] = ends[i];
        levels[kept] = levels[i];
        flatSamples[kept] = flatSamples[i];
        tops[kept] = tops[i];
      }
    }
    count = kept + 1;
  }

  private void mergeInto(int kept, int other) {
    double difference = levels[other] - levels[kept];
    if (Math.abs(difference) <= SAME_LEVEL * levels[kept]) {
      ends[kept] = ends[other];
      flatSamples[kept] += flatSamples[other];
      tops[kept] += tops[other];
    } else if (difference > 0) {
      starts[kept] = starts[other];
      ends[kept] = ends[other];
      levels[kept] = levels[other];
      flatSamples[kept] = flatSamples[other];
      tops[kept] = tops[other];
    }
  }

  int count() {
    return count;
  }

  long start(int index) {
    return starts[index];
  }

  long end(int index) {
    return ends[index];
  }

  /** Level without sign. */
  float level(int index) {
    return levels[index];
  }

  int flatSamples(int index) {
    return flatSamples[index];
  }

  int tops(int index) {
    return tops[index];
  }
}
