package hardpan.demo;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * What two microphones hear of one source: one real input, two impulse responses, by overlap-save
 * in one complex transform (the second response rides in the imaginary part). Any stretch can be
 * asked for in any order; no state is kept, so the answer does not depend on how a time line is
 * cut.
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

  private final Stem stem;
  private final float[] responseRe = new float[LENGTH];
  private final float[] responseIm = new float[LENGTH];

  PairConvolver(Stem stem, float[] firstResponse, float @Nullable [] secondResponse) {
    this.stem = stem;
    System.arraycopy(firstResponse, 0, responseRe, 0, firstResponse.length);
    if (secondResponse != null) {
      System.arraycopy(secondResponse, 0, responseIm, 0, secondResponse.length);
    }
    forward(responseRe, responseIm);
  }

  /** Room for one transform; one for each thread. */
  static final class Scratch {
    private final float[] re = new float[LENGTH];
    private final float[] im = new float[LENGTH];
  }

  /**
   * Adds what the two microphones hear to two arrays.
   *
   * @param fromFrame first event frame
   * @param second null if nobody wants the second microphone
   * @param frames how many, at most {@link #MAX_FRAMES}
   */
  void addTo(
      long fromFrame, float[] first, float @Nullable [] second, int frames, Scratch scratch) {
    if (fromFrame + frames <= stem.startFrame() || fromFrame >= stem.endFrame() + RoomMaker.TAPS) {
      return;
    }
    float[] re = scratch.re;
    float[] im = scratch.im;
    stem.copyTo(fromFrame - MAX_FRAMES, re, LENGTH);
    Arrays.fill(im, 0f);
    forward(re, im);
    for (int i = 0; i < LENGTH; i++) {
      float product = re[i] * responseRe[i] - im[i] * responseIm[i];
      im[i] = re[i] * responseIm[i] + im[i] * responseRe[i];
      re[i] = product;
    }
    inverse(re, im);
    for (int i = 0; i < frames; i++) {
      first[i] += re[MAX_FRAMES + i];
    }
    if (second != null) {
      for (int i = 0; i < frames; i++) {
        second[i] += im[MAX_FRAMES + i];
      }
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
