package hardpan.signal;

import org.jspecify.annotations.Nullable;

/**
 * Cross-correlation of a short stretch of one channel with a longer stretch of another, whitened so
 * that level, equalisation and room colour drop out and a sharp peak stays where the two agree.
 *
 * <p>The cross-spectrum is divided by its own magnitude smoothed over about 100 Hz (a smoothed
 * phase transform; C. Knapp and G. Carter, IEEE Trans. ASSP 24, 1976, for the family), and bins
 * outside the given band are dropped.
 *
 * <p>Where the band lies in the lower half of what the rate carries, all is done at half the rate
 * ({@link HalfRate}); the result is brought back to the full one.
 *
 * <p>An instance keeps working space and belongs to one thread.
 */
public final class WhitenedCorrelation {
  private static final double SMOOTHING_HZ = 50;
  private static final double LOWEST_HZ = 150;

  private final @Nullable HalfRate half;
  private final int size;
  private final int bins;

  /** Reach of the smoothing, and the first and last bin of the band. */
  private final int reach;

  private final int lowest;
  private final int highest;

  /** Sums of magnitudes, used again in each call. */
  private final double[] magnitudeBefore;

  /**
   * For stretches up to a length.
   *
   * @param rateHz sample rate of both stretches
   * @param longestStretch length of the longer stretch in samples
   * @param highestHz upper end of the band that is used
   */
  public WhitenedCorrelation(int rateHz, int longestStretch, double highestHz) {
    double highestUsedHz = Math.min(highestHz, 0.45 * rateHz);
    this.half = HalfRate.serves(rateHz, highestUsedHz) ? new HalfRate(rateHz, highestUsedHz) : null;
    this.size = Fft.sizeFor(half == null ? longestStretch : (longestStretch + 1L) / 2);
    this.bins = size / 2;
    double hertzPerBin = (double) rateHz / (half == null ? size : 2L * size);
    this.reach = Math.max(1, (int) Math.round(SMOOTHING_HZ / hertzPerBin));
    this.lowest = Math.max(1, (int) Math.ceil(LOWEST_HZ / hertzPerBin));
    this.highest = Math.min(bins - 1, (int) Math.floor(highestUsedHz / hertzPerBin));
    this.magnitudeBefore = new double[bins + 1];
  }

  /**
   * The spectrum of a stretch, padded with silence; give it to {@link #correlate}. NaN counts as
   * silence.
   */
  public float[] spectrum(float[] stretch) {
    float[] data = transformed(stretch);
    // A single value that is not a number leaves none in the whole spectrum.
    if (!Float.isFinite(data[0])) {
      float[] numbers = stretch.clone();
      for (int i = 0; i < numbers.length; i++) {
        numbers[i] = Float.isFinite(numbers[i]) ? numbers[i] : 0;
      }
      data = transformed(numbers);
    }
    return data;
  }

  private float[] transformed(float[] stretch) {
    float[] data = new float[size];
    if (half == null) {
      System.arraycopy(stretch, 0, data, 0, stretch.length);
    } else {
      half.halve(stretch, data);
    }
    Fft.ofSize(size).forward(data);
    return data;
  }

  /**
   * Correlates. Element d of the result, for d from 0 to (longer - shorter), tells how well the
   * shorter stretch fits into the longer one when its start is put at sample d of the longer one.
   *
   * @param longer spectrum of the longer stretch
   * @param shorter spectrum of the shorter stretch
   * @param lags how many elements of the result are wanted
   * @return {@code lags} values; all zero if either stretch is silent
   */
  public float[] correlate(float[] longer, float[] shorter, int lags) {
    float[] cross = whitened(longer, shorter);
    Fft.ofSize(size).inverse(cross);
    if (half != null) {
      return half.doubled(cross, lags);
    }
    float[] result = new float[lags];
    System.arraycopy(cross, 0, result, 0, lags);
    return result;
  }

  /** The cross-spectrum {@code longer x conj(shorter)}, whitened; zero outside the band. */
  private float[] whitened(float[] longer, float[] shorter) {
    float[] cross = new float[size];
    double total = 0;
    for (int bin = 1; bin < bins; bin++) {
      float re = longer[2 * bin] * shorter[2 * bin] + longer[2 * bin + 1] * shorter[2 * bin + 1];
      float im = longer[2 * bin + 1] * shorter[2 * bin] - longer[2 * bin] * shorter[2 * bin + 1];
      total += (float) Math.sqrt(re * re + im * im);
      magnitudeBefore[bin + 1] = total;
      if (bin >= lowest && bin <= highest) {
        cross[2 * bin] = re;
        cross[2 * bin + 1] = im;
      }
    }
    // Rounding noise of the transform must not get full weight in bands that carry nothing.
    double floor = 1e-7 * total / bins + Double.MIN_NORMAL;
    for (int bin = lowest; bin <= highest; bin++) {
      int from = Math.max(1, bin - reach);
      int to = Math.min(bins - 1, bin + reach);
      double sum = magnitudeBefore[to + 1] - magnitudeBefore[from];
      int count = to - from + 1;
      float weight = sum > floor * count ? (float) (count / sum) : 0;
      cross[2 * bin] *= weight;
      cross[2 * bin + 1] *= weight;
    }
    return cross;
  }
}
