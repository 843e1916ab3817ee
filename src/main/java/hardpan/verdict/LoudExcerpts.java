package hardpan.verdict;

import java.util.Arrays;

/**
 * Short pieces of a channel, kept while it streams by so that the shape of its loud waves can be
 * looked at afterwards: the loudest of each part of the time, and the loudest of all.
 *
 * <p>Takes {@value #FRAMES} x {@code (SPREAD + LOUDEST)} floats, 0.8 MB, however long the sound is.
 */
final class LoudExcerpts {
  /** Frames of a piece, 43 ms at 48 kHz. */
  static final int FRAMES = 2048;

  private static final int SPREAD = 64;
  private static final int LOUDEST = 32;

  private final float[] piece = new float[FRAMES];
  private int fill;
  private double power;

  /** The loudest of each stretch of {@code stretch} pieces. */
  private final float[][] spread = new float[SPREAD][];

  private final double[] spreadPower = new double[SPREAD];
  private int spreadCount;
  private int stretch = 1;
  private int inStretch;

  private final float[][] loudest = new float[LOUDEST][];
  private final double[] loudestPower = new double[LOUDEST];

  void add(float[] samples, int frameCount) {
    for (int at = 0; at < frameCount; ) {
      int take = Math.min(frameCount - at, FRAMES - fill);
      for (int i = 0; i < take; i++) {
        float x = samples[at + i];
        // Also false for NaN.
        x = Math.abs(x) <= Float.MAX_VALUE ? x : 0;
        piece[fill + i] = x;
        power += (double) x * x;
      }
      fill += take;
      at += take;
      if (fill == FRAMES) {
        close();
      }
    }
  }

  /** Takes what is left of the sound; call once at its end. */
  void finish() {
    if (fill > 0) {
      Arrays.fill(piece, fill, FRAMES, 0);
      close();
    }
  }

  private void close() {
    keepSpread();
    keepLoudest();
    fill = 0;
    power = 0;
  }

  private void keepSpread() {
    if (inStretch == 0) {
      if (spreadCount == SPREAD) {
        halve();
      }
      spreadPower[spreadCount] = -1;
      spreadCount++;
    }
    int newest = spreadCount - 1;
    if (power > spreadPower[newest]) {
      spread[newest] = copied(spread[newest]);
      spreadPower[newest] = power;
    }
    inStretch = (inStretch + 1) % stretch;
  }

  private void halve() {
    for (int i = 0; i < SPREAD / 2; i++) {
      int louder = spreadPower[2 * i + 1] > spreadPower[2 * i] ? 2 * i + 1 : 2 * i;
      float[] kept = spread[louder];
      spread[louder] = spread[i];
      spread[i] = kept;
      spreadPower[i] = spreadPower[louder];
    }
    spreadCount = SPREAD / 2;
    stretch *= 2;
  }

  private void keepLoudest() {
    int least = 0;
    for (int i = 1; i < LOUDEST; i++) {
      least = loudestPower[i] < loudestPower[least] ? i : least;
    }
    if (power > loudestPower[least]) {
      loudest[least] = copied(loudest[least]);
      loudestPower[least] = power;
    }
  }

  private float[] copied(float[] into) {
    float[] kept = into == null ? new float[FRAMES] : into;
    System.arraycopy(piece, 0, kept, 0, FRAMES);
    return kept;
  }

  /** All pieces, in no order; a piece may be there twice. */
  float[][] pieces() {
    float[][] all = new float[SPREAD + LOUDEST][];
    int count = 0;
    for (int i = 0; i < spreadCount; i++) {
      all[count++] = spread[i];
    }
    for (int i = 0; i < LOUDEST; i++) {
      if (loudestPower[i] > 0) {
        all[count++] = loudest[i];
      }
    }
    return Arrays.copyOf(all, count);
  }
}
