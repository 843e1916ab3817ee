package hardpan.signal;

/**
 * Cross-correlation of a short stretch of one channel with a longer stretch of another, whitened so
 * that level, equalisation and room colour drop out and a sharp peak stays where the two agree.
 *
 * <p>The cross-spectrum is divided by its own magnitude smoothed over about 100 Hz (a smoothed
 * phase transform; C. Knapp and G. Carter, IEEE Trans. ASSP 24, 1976, for the family), and bins
 * outside the given band are dropped.
 */
public final class WhitenedCorrelation {
  private static final double SMOOTHING_HZ = 50;
  private static final double LOWEST_HZ = 150;

  private final int rateHz;
  private final int size;
  private final double highestHz;

  /**
   * For stretches up to a length.
   *
   * @param rateHz sample rate of both stretches
   * @param longestStretch length of the longer stretch in samples
   * @param highestHz upper end of the band that is used
   */
  public WhitenedCorrelation(int rateHz, int longestStretch, double highestHz) {
    this.rateHz = rateHz;
    this.size = Fft.sizeFor(longestStretch);
    this.highestHz = Math.min(highestHz, 0.45 * rateHz);
  }

  /**
   * The spectrum of a stretch, padded with silence; give it to {@link #correlate}. NaN counts as
   * silence.
   */
  public float[] spectrum(float[] stretch) {
    float[] data = new float[size];
    for (int i = 0; i < stretch.length; i++) {
      data[i] = Float.isFinite(stretch[i]) ? stretch[i] : 0;
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
    float[] cross = new float[size];
    Fft.addCrossSpectrum(longer, shorter, cross);
    whiten(cross);
    Fft.ofSize(size).inverse(cross);
    float[] result = new float[lags];
    System.arraycopy(cross, 0, result, 0, lags);
    return result;
  }

  private void whiten(float[] cross) {
    int bins = size / 2;
    double[] magnitudeBefore = new double[bins + 1];
    for (int bin = 1; bin < bins; bin++) {
      double re = cross[2 * bin];
      double im = cross[2 * bin + 1];
      magnitudeBefore[bin + 1] = magnitudeBefore[bin] + Math.sqrt(re * re + im * im);
    }
    double hertzPerBin = (double) rateHz / size;
    int half = Math.max(1, (int) Math.round(SMOOTHING_HZ / hertzPerBin));
    int lowest = Math.max(1, (int) Math.ceil(LOWEST_HZ / hertzPerBin));
    int highest = Math.min(bins - 1, (int) Math.floor(highestHz / hertzPerBin));
    double total = magnitudeBefore[bins];
    // Rounding noise of the transform must not get full weight in bands that carry nothing.
    double floor = 1e-7 * total / bins + Double.MIN_NORMAL;
    cross[0] = 0;
    cross[1] = 0;
    for (int bin = 1; bin < bins; bin++) {
      float weight = 0;
      if (bin >= lowest && bin <= highest && total > 0) {
        int from = Math.max(1, bin - half);
        int to = Math.min(bins - 1, bin + half);
        double mean = (magnitudeBefore[to + 1] - magnitudeBefore[from]) / (to - from + 1);
        weight = mean > floor ? (float) (1 / mean) : 0;
      }
      cross[2 * bin] *= weight;
      cross[2 * bin + 1] *= weight;
    }
  }
}
