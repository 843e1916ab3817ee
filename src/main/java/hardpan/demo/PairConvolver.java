package hardpan.demo;

import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What two microphones hear of several sources: real inputs, two impulse responses each, by
 * overlap-save in complex transforms (the second response rides in the imaginary part; the sources
 * are added before the one way back). Any stretch can be asked for in any order; no state is kept,
 * so the answer does not depend on how a time line is cut.
 *
 * <p>Method: Stockham 1966, as in Oppenheim and Schafer, "Discrete-Time Signal Processing", 8.7.3.
 */
final class PairConvolver {
  /** Largest stretch that can be asked for at once. */
  static final int MAX_FRAMES = 65536;

  private static final int LENGTH = 2 * MAX_FRAMES;
  private static final float[] COSINES = new float[LENGTH / 2];
  private static final float[] SINES = new float[LENGTH / 2];

  static {
    for (int i = 0; i < LENGTH / 2; i++) {
      COSINES[i] = (float) Math.cos(2 * Math.PI * i / LENGTH);
      SINES[i] = (float) Math.sin(2 * Math.PI * i / LENGTH);
    }
  }

  private final List<Way> ways;

  PairConvolver(List<Way> ways) {
    this.ways = List.copyOf(ways);
  }

  /** One source with the spectrum of its two responses, first plus i times second. */
  static final class Way {
    private final Stem stem;
    private final float[] spectrumRe = new float[LENGTH];
    private final float[] spectrumIm = new float[LENGTH];

    /**
     * From a source to one or two microphones.
     *
     * @param first impulse response, at most {@link #MAX_FRAMES} long
     * @param second another; null for a single microphone
     */
    Way(Stem stem, float[] first, float @Nullable [] second) {
      this.stem = stem;
      System.arraycopy(first, 0, spectrumRe, 0, first.length);
      if (second != null) {
        System.arraycopy(second, 0, spectrumIm, 0, second.length);
      }
      forward(spectrumRe, spectrumIm);
    }

    private boolean sounds(long fromFrame, int frames) {
      return fromFrame + frames > stem.startFrame() && fromFrame < stem.endFrame() + RoomMaker.TAPS;
    }
  }

  /**
   * What the two microphones hear.
   *
   * @param fromFrame first event frame
   * @param first overwritten
   * @param second overwritten; null if there is only one microphone
   * @param frames how many, at most {@link #MAX_FRAMES}
   */
  void read(long fromFrame, float[] first, float @Nullable [] second, int frames) {
    float[] sumRe = new float[LENGTH];
    float[] sumIm = new float[LENGTH];
    float[] re = new float[LENGTH];
    float[] im = new float[LENGTH];
    for (Way way : ways) {
      if (!way.sounds(fromFrame, frames)) {
        continue;
      }
      way.stem.copyTo(fromFrame - MAX_FRAMES, re, LENGTH);
      Arrays.fill(im, 0f);
      forward(re, im);
      for (int i = 0; i < LENGTH; i++) {
        sumRe[i] += re[i] * way.spectrumRe[i] - im[i] * way.spectrumIm[i];
        sumIm[i] += re[i] * way.spectrumIm[i] + im[i] * way.spectrumRe[i];
      }
    }
    inverse(sumRe, sumIm);
    System.arraycopy(sumRe, MAX_FRAMES, first, 0, frames);
    if (second != null) {
      System.arraycopy(sumIm, MAX_FRAMES, second, 0, frames);
    }
  }

  /** Decimation in frequency; leaves the spectrum in bit-reversed order, which products allow. */
  private static void forward(float[] re, float[] im) {
    for (int half = LENGTH / 2, stride = 1; half >= 1; half /= 2, stride *= 2) {
      for (int block = 0; block < LENGTH; block += 2 * half) {
        for (int j = 0, turn = 0; j < half; j++, turn += stride) {
          int a = block + j;
          int b = a + half;
          float differenceRe = re[a] - re[b];
          float differenceIm = im[a] - im[b];
          re[a] += re[b];
          im[a] += im[b];
          re[b] = differenceRe * COSINES[turn] + differenceIm * SINES[turn];
          im[b] = differenceIm * COSINES[turn] - differenceRe * SINES[turn];
        }
      }
    }
  }

  /** Decimation in time from bit-reversed order, with the division by the length. */
  private static void inverse(float[] re, float[] im) {
    for (int half = 1, stride = LENGTH / 2; half < LENGTH; half *= 2, stride /= 2) {
      for (int block = 0; block < LENGTH; block += 2 * half) {
        for (int j = 0, turn = 0; j < half; j++, turn += stride) {
          int a = block + j;
          int b = a + half;
          float turnedRe = re[b] * COSINES[turn] - im[b] * SINES[turn];
          float turnedIm = im[b] * COSINES[turn] + re[b] * SINES[turn];
          re[b] = re[a] - turnedRe;
          im[b] = im[a] - turnedIm;
          re[a] += turnedRe;
          im[a] += turnedIm;
        }
      }
    }
    float scale = 1f / LENGTH;
    for (int i = 0; i < LENGTH; i++) {
      re[i] *= scale;
      im[i] *= scale;
    }
  }
}
