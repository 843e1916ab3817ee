package hardpan.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Finds and refines the peaks of a correlation. */
public final class Peaks {
  private static final int NEIGHBOURS = 32;

  private Peaks() {}

  /**
   * A peak.
   *
   * @param lag place in samples, with a fraction once refined
   * @param height height in units of the scatter of the whole correlation, sign kept (negative: the
   *     two stretches agree with opposite polarity)
   */
  public record Peak(double lag, double height) {}

  /**
   * Scatter of a correlation, from the median of its absolute values so that its peaks do not count
   * (for a normal distribution the median of |x| is 0.6745 standard deviations).
   *
   * @return the scatter, 0 for silence or an empty array
   */
  public static double scatter(float[] correlation) {
    if (correlation.length == 0) {
      return 0;
    }
    int step = Math.max(1, correlation.length / 4096);
    double[] sizes = new double[(correlation.length + step - 1) / step];
    for (int i = 0; i < sizes.length; i++) {
      sizes[i] = Math.abs(correlation[i * step]);
    }
    return Statistics.median(sizes) / 0.6745;
  }

  /**
   * The strongest peaks by absolute value, strongest first, no two closer than a distance.
   *
   * @param correlation the correlation
   * @param unit its {@link #scatter}
   * @param most how many are wanted at most
   * @param leastHeight height below which a peak does not count, in units of scatter
   * @param leastShare height below which a peak does not count, as a share of the strongest
   * @param distance least distance between two peaks in samples
   */
  public static List<Peak> strongest(
      float[] correlation,
      double unit,
      int most,
      double leastHeight,
      double leastShare,
      int distance) {
    List<Peak> found = new ArrayList<>();
    if (unit <= 0) {
      return found;
    }
    boolean[] taken = new boolean[correlation.length];
    while (found.size() < most) {
      int best = -1;
      for (int i = 0; i < correlation.length; i++) {
        if (!taken[i] && (best < 0 || Math.abs(correlation[i]) > Math.abs(correlation[best]))) {
          best = i;
        }
      }
      if (best < 0) {
        break;
      }
      double height = correlation[best] / unit;
      double least = found.isEmpty() ? leastHeight : leastShare * Math.abs(found.get(0).height());
      if (Math.abs(height) < Math.max(leastHeight, least)) {
        break;
      }
      found.add(new Peak(refine(correlation, best), height));
      int to = Math.min(correlation.length - 1, best + distance);
      for (int i = Math.max(0, best - distance); i <= to; i++) {
        taken[i] = true;
      }
    }
    return found;
  }

  /**
   * The place of a peak between samples: the correlation is interpolated band-limited to an eighth
   * of a sample, then a parabola is laid through the three highest points. (A parabola through the
   * bare samples is biased by up to 0.12 sample for a white signal.)
   *
   * @param correlation the correlation
   * @param index the highest sample of the peak
   * @return place in samples; {@code index} itself at the array's ends
   */
  public static double refine(float[] correlation, int index) {
    if (index < 1 || index >= correlation.length - 1) {
      return index;
    }
    int from = Math.max(0, index - NEIGHBOURS - 2);
    int to = Math.min(correlation.length, index + NEIGHBOURS + 3);
    float[] part = Arrays.copyOfRange(correlation, from, to);
    float sign = Math.signum(correlation[index]);
    SincInterpolator between = SincInterpolator.fullBand();
    double[] values = new double[17];
    int best = 8;
    for (int i = 0; i < values.length; i++) {
      values[i] = sign * between.at(part, index - from + (i - 8) / 8.0);
      if (values[i] > values[best]) {
        best = i;
      }
    }
    double place = (best - 8) / 8.0;
    if (best > 0 && best < values.length - 1) {
      double curve = values[best - 1] - 2 * values[best] + values[best + 1];
      if (curve < 0) {
        place += 0.5 * (values[best - 1] - values[best + 1]) / curve / 8;
      }
    }
    return index + place;
  }
}
