package hardpan.signal;

import be.tarsos.dsp.util.ConcurrencyUtils;
import be.tarsos.dsp.util.fft.FloatFFT;
import java.util.HashMap;
import java.util.Map;

/**
 * Fourier transform of real sequences whose length is a power of two; the only class that knows the
 * transform library.
 *
 * <p>Packed layout of a spectrum of length n: element 0 is the real part at 0 Hz, element 1 the
 * real part at the Nyquist frequency, elements 2k and 2k+1 the real and imaginary part of bin k.
 *
 * <p>An instance keeps working tables and belongs to one thread; {@link #ofSize} hands out one for
 * the calling thread.
 */
public final class Fft {
  private static final ThreadLocal<Map<Integer, Fft>> CACHE = ThreadLocal.withInitial(HashMap::new);

  static {
    // Parallel work is done one level up, over windows and sources.
    ConcurrencyUtils.setNumberOfThreads(1);
  }

  private final int size;
  private final FloatFFT library;

  private Fft(int size) {
    this.size = size;
    this.library = new FloatFFT(size);
  }

  /**
   * The transform of a length, for the calling thread.
   *
   * @param size a power of two, at least 4
   */
  public static Fft ofSize(int size) {
    if (size < 4 || Integer.bitCount(size) != 1) {
      throw new IllegalArgumentException("not a power of two: " + size);
    }
    return CACHE.get().computeIfAbsent(size, Fft::new);
  }

  /** The smallest power of two that is at least {@code length} (and at least 4). */
  public static int sizeFor(long length) {
    int size = 4;
    while (size < length) {
      size = Math.multiplyExact(size, 2);
    }
    return size;
  }

  /** Length of the sequences this instance transforms. */
  public int size() {
    return size;
  }

  /** Replaces a real sequence by its packed spectrum. */
  public void forward(float[] data) {
    library.realForward(data);
  }

  /** Replaces a packed spectrum by its real sequence, scaled so that it undoes {@link #forward}. */
  public void inverse(float[] data) {
    library.realInverse(data, true);
  }

  /**
   * Adds {@code a x conj(b)}, the spectrum of the cross-correlation, to {@code sum}; all packed.
   *
   * <p>After {@link #inverse}, element d of the result tells how well {@code a} delayed by -d, that
   * is a[n + d], agrees with b[n]; negative d stand at the array's end.
   */
  public static void addCrossSpectrum(float[] a, float[] b, float[] sum) {
    sum[0] += a[0] * b[0];
    sum[1] += a[1] * b[1];
    for (int i = 2; i < a.length; i += 2) {
      float re = a[i];
      float im = a[i + 1];
      sum[i] += re * b[i] + im * b[i + 1];
      sum[i + 1] += im * b[i] - re * b[i + 1];
    }
  }
}
