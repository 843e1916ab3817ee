package hardpan.verdict;

import hardpan.signal.Fft;
import hardpan.signal.Statistics;
import hardpan.signal.Windows;
import java.util.Arrays;
import java.util.Comparator;

/**
 * Whether loud passages are one tone. A tone is most often near its largest values, as sound is
 * that was cut off; what tells them apart is that a cut makes harmonics.
 */
final class PureTone {
  private static final int PIECES = 24;
  private static final int NEAR_BINS = 4;
  private static final double LEAST_SHARE = 0.99;

  private PureTone() {}

  /** Whether nearly all the power of the loudest pieces lies at one frequency. */
  static boolean is(float[][] pieces) {
    float[][] loudest = pieces.clone();
    Arrays.sort(loudest, Comparator.comparingDouble(PureTone::power).reversed());
    int count = Math.min(PIECES, loudest.length);
    if (count == 0) {
      return false;
    }
    double[] shares = new double[count];
    for (int i = 0; i < count; i++) {
      shares[i] = share(loudest[i]);
    }
    return Statistics.median(shares) >= LEAST_SHARE;
  }

  private static double power(float[] piece) {
    double sum = 0;
    for (float x : piece) {
      sum += (double) x * x;
    }
    return sum;
  }

  private static double share(float[] piece) {
    float[] window = Windows.hann(piece.length);
    float[] data = new float[piece.length];
    for (int i = 0; i < data.length; i++) {
      data[i] = window[i] * piece[i];
    }
    Fft.ofSize(data.length).forward(data);
    double[] powers = new double[data.length / 2];
    double total = 0;
    int best = 1;
    for (int bin = 1; bin < powers.length; bin++) {
      powers[bin] =
          (double) data[2 * bin] * data[2 * bin] + (double) data[2 * bin + 1] * data[2 * bin + 1];
      total += powers[bin];
      best = powers[bin] > powers[best] ? bin : best;
    }
    double near = 0;
    int end = Math.min(powers.length - 1, best + NEAR_BINS);
    for (int bin = Math.max(1, best - NEAR_BINS); bin <= end; bin++) {
      near += powers[bin];
    }
    return total <= 0 ? 0 : near / total;
  }
}
