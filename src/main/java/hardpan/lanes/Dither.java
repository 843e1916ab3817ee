package hardpan.lanes;

import java.util.SplittableRandom;

/**
 * Triangular noise of two steps' width, added before sound is rounded to fewer bits, so that the
 * error of rounding is noise and not distortion (S. P. Lipshitz, R. A. Wannamaker, J. Vanderkooy,
 * "Quantization and Dither: A Theoretical Survey", JAES 40, 1992). The same sound gets the same
 * noise each time.
 */
final class Dither {
  private final SplittableRandom random;
  private final double step;
  private float[] out = new float[0];

  /**
   * For one channel.
   *
   * @param bits of the file
   * @param channel makes the noise of channels differ
   */
  Dither(int bits, int channel) {
    this.random = new SplittableRandom(0x48726470L + channel);
    this.step = Math.scalb(1.0, 1 - bits);
  }

  /** The sound with its noise, in an array that the next call uses again. */
  float[] add(float[] sound, int frameCount) {
    if (out.length < frameCount) {
      out = new float[frameCount];
    }
    for (int i = 0; i < frameCount; i++) {
      out[i] = (float) (sound[i] + step * (random.nextDouble() + random.nextDouble() - 1));
    }
    return out;
  }
}
