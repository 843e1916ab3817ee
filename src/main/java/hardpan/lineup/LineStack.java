package hardpan.lineup;

import hardpan.signal.Statistics;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Adds the correlations of all windows up along every line (delay against time) that a clock can
 * draw, and tells by how much the best line stands out of the others. Finds what is too weak in
 * each single window: noise adds up by its root only.
 *
 * <p>What one window may contribute is limited, so that agreement counts here too and no single
 * high peak: whitened speech has high peaks by accident.
 */
final class LineStack {
  private static final double BIN_SECONDS = 0.0001;
  private static final double STEEPEST = 150e-6;
  private static final float MOST_OF_A_WINDOW = 6;
  private static final float ON_LINE = 3.3f;
  private static final double LONGEST_SPAN_SECONDS = 45;

  private LineStack() {}

  /**
   * The correlation of one window.
   *
   * @param seconds middle of the window in the source
   * @param firstDelaySeconds delay of the first value
   * @param values one a frame
   * @param unit scatter of the values
   */
  record Entry(double seconds, double firstDelaySeconds, float[] values, double unit) {}

  /**
   * The best line.
   *
   * @param height by how many standard deviations it stands out of all others
   * @param windowsOnLine windows that show something of their own there
   * @param heightSum what the windows contribute
   */
  record Found(
      double interceptSeconds,
      double slope,
      double height,
      int windowsOnLine,
      int windows,
      double heightSum) {}

  /**
   * Looks for the best line.
   *
   * @param entries windows, all with the same number of values, their first delays within a frame
   *     of each other
   * @return null with fewer than three windows, or where they lie too far apart for this
   */
  static @Nullable Found best(List<Entry> entries, int rateHz) {
    if (entries.size() < 3) {
      return null;
    }
    double first = Double.POSITIVE_INFINITY;
    double last = Double.NEGATIVE_INFINITY;
    for (Entry entry : entries) {
      first = Math.min(first, entry.seconds());
      last = Math.max(last, entry.seconds());
    }
    if (last - first > LONGEST_SPAN_SECONDS) {
      return null;
    }
    double pivot = (first + last) / 2;
    int frames = Math.max(1, (int) Math.round(BIN_SECONDS * rateHz));
    double bin = (double) frames / rateHz;
    double halfSpan = Math.max((last - first) / 2, 0.1);
    int steps = (int) Math.ceil(STEEPEST * halfSpan / bin);
    int bins = entries.get(0).values().length / frames;
    if (bins <= 4 * steps) {
      return null;
    }
    Found best = null;
    float[][] upright = new float[entries.size()][bins];
    float[][] inverted = new float[entries.size()][bins];
    for (int i = 0; i < upright.length; i++) {
      pool(entries.get(i), frames, upright[i], inverted[i]);
    }
    for (float[][] pooled : List.of(upright, inverted)) {
      Found found = best(entries, pooled, steps, pivot, bin, halfSpan);
      if (best == null || found.height() > best.height()) {
        best = found;
      }
    }
    return best;
  }

  private static Found best(
      List<Entry> entries, float[][] pooled, int steps, double pivot, double bin, double halfSpan) {
    int bins = pooled[0].length;
    float[] stack = new float[bins];
    double centre = 0;
    double unit = 1;
    float top = -1;
    int topBin = 0;
    double topSlope = 0;
    for (int number = 0; number <= 2 * steps; number++) {
      // 0, +1, -1, +2, -2 ...: the first stack gives the measure for all.
      int step = (number % 2 == 0 ? -1 : 1) * ((number + 1) / 2);
      double slope = step * bin / halfSpan;
      Arrays.fill(stack, 0);
      for (int i = 0; i < pooled.length; i++) {
        int shift = shift(entries.get(i), slope, pivot, bin);
        float[] window = pooled[i];
        int to = bins - steps - 1;
        for (int b = steps + 1; b < to; b++) {
          stack[b] += window[b + shift];
        }
      }
      if (number == 0) {
        double[] sums = new double[bins - 2 * steps - 2];
        for (int b = 0; b < sums.length; b++) {
          sums[b] = stack[b + steps + 1];
        }
        centre = Statistics.median(sums);
        unit = Math.max(1e-9, Statistics.robustDeviation(sums));
      }
      for (int b = steps + 1; b < bins - steps - 1; b++) {
        if (stack[b] > top) {
          top = stack[b];
          topBin = b;
          topSlope = slope;
        }
      }
    }
    int on = 0;
    for (int i = 0; i < pooled.length; i++) {
      int at = topBin + shift(entries.get(i), topSlope, pivot, bin);
      float most = Math.max(pooled[i][at], Math.max(pooled[i][at - 1], pooled[i][at + 1]));
      on += most >= ON_LINE ? 1 : 0;
    }
    double delay = entries.get(0).firstDelaySeconds() + (topBin + 0.5) * bin;
    return new Found(
        delay - topSlope * pivot,
        topSlope,
        (top - centre) / unit,
        on,
        pooled.length,
        Math.max(0, top - centre));
  }

  private static int shift(Entry entry, double slope, double pivot, double bin) {
    return (int) Math.round(slope * (entry.seconds() - pivot) / bin);
  }

  /** The highest and the lowest value of each bin, both as heights above 0. */
  private static void pool(Entry entry, int frames, float[] upright, float[] inverted) {
    float scale = (float) (1 / entry.unit());
    float[] values = entry.values();
    for (int b = 0; b < upright.length; b++) {
      float most = 0;
      float least = 0;
      for (int i = b * frames; i < (b + 1) * frames; i++) {
        most = Math.max(most, values[i]);
        least = Math.min(least, values[i]);
      }
      upright[b] = Math.min(MOST_OF_A_WINDOW, scale * most);
      inverted[b] = Math.min(MOST_OF_A_WINDOW, -scale * least);
    }
  }
}
