package hardpan.signal;

/**
 * Mean power of a signal by frequency: Hann windows, one after the other, transformed and averaged
 * (M. S. Bartlett 1950, P. D. Welch 1967). A sine of amplitude 1 on a bin has level 0 dB there.
 *
 * <p>Fed block by block; memory does not grow. NaN and infinities count as 0. Not safe for use by
 * several threads at once.
 */
public final class PowerSpectrum {
  private final int size;
  private final int every;
  private final float[] window;
  private final float[] held;
  private final double[] sums;
  private int fill;
  private long windows;
  private long used;

  /**
   * A meter.
   *
   * @param size length of the windows, a power of two, at least 4
   * @param every of so many windows one is taken, at least 1
   */
  public PowerSpectrum(int size, int every) {
    if (every < 1) {
      throw new IllegalArgumentException("every " + every);
    }
    Fft.ofSize(size);
    this.size = size;
    this.every = every;
    this.window = Windows.hann(size);
    this.held = new float[size];
    this.sums = new double[size / 2];
  }

  /** Takes the next samples, full scale 1. */
  public void add(float[] samples, int from, int count) {
    for (int done = 0; done < count; ) {
      int take = Math.min(count - done, size - fill);
      System.arraycopy(samples, from + done, held, fill, take);
      fill += take;
      done += take;
      if (fill == size) {
        fill = 0;
        if (windows++ % every == 0) {
          transform();
        }
      }
    }
  }

  private void transform() {
    for (int i = 0; i < size; i++) {
      held[i] = Float.isFinite(held[i]) ? held[i] * window[i] : 0;
    }
    Fft.ofSize(size).forward(held);
    for (int bin = 1; bin < sums.length; bin++) {
      double re = held[2 * bin];
      double im = held[2 * bin + 1];
      sums[bin] += re * re + im * im;
    }
    used++;
  }

  /**
   * Levels in dB, bin k at k x rate / size; bin 0, which is not measured, and bins without any
   * power have -300. Empty if not one window was filled.
   */
  public double[] levelsDb() {
    if (used == 0) {
      return new double[0];
    }
    // A Hann window's samples add up to half its length; a sine puts half its amplitude into a bin.
    double full = size / 4.0;
    double[] levels = new double[sums.length];
    for (int bin = 0; bin < levels.length; bin++) {
      levels[bin] = Math.max(-300, 10 * Math.log10(sums[bin] / used / (full * full)));
    }
    return levels;
  }
}
