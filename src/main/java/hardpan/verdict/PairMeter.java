package hardpan.verdict;

import hardpan.signal.Fft;
import java.util.Arrays;

/**
 * Measures two channels against each other in blocks of about a sixth of a second: energies,
 * correlation at no delay, and in every fourth block the strongest correlation within 20 ms.
 */
final class PairMeter {
  /** Frames in a block. */
  static final int BLOCK = 8192;

  private static final int LAG_EVERY = 4;
  private static final double LONGEST_LAG_SECONDS = 0.02;

  private final int longestLag;
  private final float[] left = new float[BLOCK];
  private final float[] right = new float[BLOCK];
  private int fill;

  private int count;
  private float[] leftPower = new float[256];
  private float[] rightPower = new float[256];
  private float[] product = new float[256];
  private float[] leftPeak = new float[256];
  private float[] rightPeak = new float[256];
  private float[] bestCorrelation = new float[256];
  private int[] bestLag = new int[256];

  PairMeter(int rateHz) {
    this.longestLag = Math.min(BLOCK / 2, (int) Math.ceil(LONGEST_LAG_SECONDS * rateHz));
  }

  void add(float[] leftSamples, float[] rightSamples, int frameCount) {
    int at = 0;
    while (at < frameCount) {
      int take = Math.min(frameCount - at, BLOCK - fill);
      System.arraycopy(leftSamples, at, left, fill, take);
      System.arraycopy(rightSamples, at, right, fill, take);
      fill += take;
      at += take;
      if (fill == BLOCK) {
        close();
      }
    }
  }

  /** Measures what is left of the sound; call once at its end. */
  void finish() {
    if (fill >= BLOCK / 4) {
      Arrays.fill(left, fill, BLOCK, 0);
      Arrays.fill(right, fill, BLOCK, 0);
      close();
    }
  }

  private void close() {
    grow();
    double ll = 0;
    double rr = 0;
    double lr = 0;
    float lPeak = 0;
    float rPeak = 0;
    for (int i = 0; i < BLOCK; i++) {
      double l = finite(left[i]);
      double r = finite(right[i]);
      ll += l * l;
      rr += r * r;
      lr += l * r;
      lPeak = (float) Math.max(lPeak, Math.abs(l));
      rPeak = (float) Math.max(rPeak, Math.abs(r));
    }
    leftPower[count] = (float) (ll / BLOCK);
    rightPower[count] = (float) (rr / BLOCK);
    product[count] = (float) (lr / BLOCK);
    leftPeak[count] = lPeak;
    rightPeak[count] = rPeak;
    bestLag[count] = Integer.MIN_VALUE;
    if (count % LAG_EVERY == 0 && ll > 0 && rr > 0) {
      searchLag(Math.sqrt(ll * rr));
    }
    count++;
    fill = 0;
  }

  private void searchLag(double norm) {
    float[] a = new float[2 * BLOCK];
    float[] b = new float[2 * BLOCK];
    for (int i = 0; i < BLOCK; i++) {
      a[i] = (float) finite(right[i]);
      b[i] = (float) finite(left[i]);
    }
    Fft fft = Fft.ofSize(2 * BLOCK);
    fft.forward(a);
    fft.forward(b);
    float[] cross = new float[2 * BLOCK];
    Fft.addCrossSpectrum(a, b, cross);
    fft.inverse(cross);
    int best = 0;
    for (int lag = -longestLag; lag <= longestLag; lag++) {
      int index = lag < 0 ? 2 * BLOCK + lag : lag;
      int bestIndex = best < 0 ? 2 * BLOCK + best : best;
      if (Math.abs(cross[index]) > Math.abs(cross[bestIndex])) {
        best = lag;
      }
    }
    bestLag[count] = best;
    bestCorrelation[count] = (float) (cross[best < 0 ? 2 * BLOCK + best : best] / norm);
  }

  private static double finite(float x) {
    return Math.abs(x) <= Float.MAX_VALUE ? x : 0;
  }

  private void grow() {
    if (count == product.length) {
      int larger = count * 2;
      leftPower = Arrays.copyOf(leftPower, larger);
      rightPower = Arrays.copyOf(rightPower, larger);
      product = Arrays.copyOf(product, larger);
      leftPeak = Arrays.copyOf(leftPeak, larger);
      rightPeak = Arrays.copyOf(rightPeak, larger);
      bestCorrelation = Arrays.copyOf(bestCorrelation, larger);
      bestLag = Arrays.copyOf(bestLag, larger);
    }
  }

  int count() {
    return count;
  }

  double leftPower(int block) {
    return leftPower[block];
  }

  double rightPower(int block) {
    return rightPower[block];
  }

  double product(int block) {
    return product[block];
  }

  float leftPeak(int block) {
    return leftPeak[block];
  }

  float rightPeak(int block) {
    return rightPeak[block];
  }

  /** Whether the delayed correlation was measured in a block. */
  boolean hasLag(int block) {
    return bestLag[block] != Integer.MIN_VALUE;
  }

  /** Delay of right against left in frames at the strongest correlation. */
  int lag(int block) {
    return bestLag[block];
  }

  /** The strongest correlation by absolute value, with its sign. */
  double lagCorrelation(int block) {
    return bestCorrelation[block];
  }
}
