package hardpan.verdict;

import hardpan.signal.Decibels;
import hardpan.signal.Fft;
import hardpan.signal.Windows;
import org.jspecify.annotations.Nullable;

/**
 * Finds a wall in the spectrum: a frequency above which there is nothing but the noise of whole
 * numbers, while there is sound right below it. The sound then passed a narrower system before.
 *
 * <p>Two short spectra a second are averaged, in bands of {@value #BAND_HZ} Hz.
 */
final class BandLimit {
  private static final int POINTS = 4096;
  private static final double BAND_HZ = 250;
  private static final double LOWEST_HZ = 2500;

  /** The edge of a filter may take so many bands. */
  private static final int EDGE_BANDS = 5;

  private static final int BELOW_BANDS = 3;
  private static final double WALL_DB = 18;

  /** Above the wall the level stays this near to its mean. */
  private static final double FLAT_DB = 6;

  /** Above a wall is nothing but the rounding of 16-bit numbers, as if over the whole band. */
  private static final double ROUNDING_DBFS = -92;

  private static final double SILENCE = 1e-12;
  private static final int LEAST_SPECTRA = 4;

  private final int rateHz;
  private final float[] block = new float[POINTS];
  private final float[] window = Windows.hann(POINTS);
  private final double[] powers = new double[POINTS / 2];
  private final int hopFrames;
  private int fill;
  private int toSkip;
  private int spectra;

  BandLimit(int rateHz) {
    this.rateHz = rateHz;
    this.hopFrames = Math.max(POINTS, rateHz / 2);
  }

  /**
   * The wall.
   *
   * @param hz where it stands
   * @param stepDb how far the level falls there
   */
  record Wall(double hz, double stepDb) {}

  /** Takes the next samples, all of them numbers. */
  void add(float[] samples, int frameCount) {
    for (int at = 0; at < frameCount; ) {
      if (toSkip > 0) {
        int skipped = Math.min(toSkip, frameCount - at);
        toSkip -= skipped;
        at += skipped;
      } else {
        int count = Math.min(POINTS - fill, frameCount - at);
        System.arraycopy(samples, at, block, fill, count);
        fill += count;
        at += count;
        if (fill == POINTS) {
          fill = 0;
          toSkip = hopFrames - POINTS;
          close();
        }
      }
    }
  }

  private void close() {
    float[] data = new float[POINTS];
    double energy = 0;
    for (int i = 0; i < POINTS; i++) {
      data[i] = window[i] * block[i];
      energy += (double) block[i] * block[i];
    }
    if (energy <= SILENCE) {
      return;
    }
    Fft.ofSize(POINTS).forward(data);
    for (int b = 1; b < powers.length; b++) {
      powers[b] += (double) data[2 * b] * data[2 * b] + (double) data[2 * b + 1] * data[2 * b + 1];
    }
    spectra++;
  }

  /** The wall, or null if there is none. */
  @Nullable Wall wall() {
    double[] bands = bands();
    int first = (int) (LOWEST_HZ / BAND_HZ);
    if (spectra < LEAST_SPECTRA || bands.length <= first + EDGE_BANDS + 2) {
      return null;
    }
    double sum = 0;
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    // From above: what lies over the wall must be flat, and sound must stand right under it.
    for (int b = bands.length - 1; b > first + EDGE_BANDS; b--) {
      sum += bands[b];
      least = Math.min(least, bands[b]);
      most = Math.max(most, bands[b]);
      if (most - least > 2 * FLAT_DB) {
        break;
      }
      double above = sum / (bands.length - b);
      if (above > ROUNDING_DBFS) {
        break;
      }
      for (int edge = EDGE_BANDS; edge >= 1; edge--) {
        double below = Double.POSITIVE_INFINITY;
        for (int k = 0; k < BELOW_BANDS; k++) {
          below = Math.min(below, bands[Math.max(0, b - edge - k)]);
        }
        double step = below - above;
        if (step >= WALL_DB) {
          return new Wall((b - edge + 1) * BAND_HZ, step);
        }
      }
    }
    return null;
  }

  private double[] bands() {
    double binHz = (double) rateHz / POINTS;
    double[] bands = new double[(int) (rateHz / (2 * BAND_HZ))];
    for (int k = 0; k < bands.length; k++) {
      int from = Math.max(1, (int) Math.ceil(k * BAND_HZ / binHz));
      int to = Math.min(powers.length, (int) Math.ceil((k + 1) * BAND_HZ / binHz));
      double sum = 0;
      for (int b = from; b < to; b++) {
        sum += powers[b];
      }
      // As the mean square of white noise of that density; 3/8 is that of the window.
      double power = sum / Math.max(1, to - from) / Math.max(1, spectra) / (0.375 * POINTS);
      bands[k] = Decibels.ofPower(power + 1e-15);
    }
    return bands;
  }
}
