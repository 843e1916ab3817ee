package hardpan.verdict;

import hardpan.signal.Fft;
import hardpan.signal.Peaks;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Measures two channels against each other in blocks of about a sixth of a second: energies,
 * correlation at no delay over all samples and over the small ones, and, from every fourth block,
 * the correlation at delays up to 20 ms.
 *
 * <p>Delays are found in cross-spectra that are whitened block by block and then added (averaging
 * before the search: M. Matassoni and P. Svaizer, EUSIPCO 2006), because a reverberant pair has
 * little correlation in any one block. Keeps 32 bytes a block, 2 MB for three hours at 48 kHz, and
 * up to 1 MB of correlations.
 */
final class PairMeter {
  /** Frames in a block. */
  static final int BLOCK = 8192;

  private static final int LAG_EVERY = 4;

  /** Frames over which a block is faded in and out. */
  private static final int FADE = BLOCK / 8;

  private static final double[] FADES = fades();

  private static final double LONGEST_LAG_SECONDS = 0.02;

  private static final double LOWEST_HZ = 150;
  private static final double HIGHEST_HZ = 7000;

  /** Blocks 35 dB below the loudest so far tell nothing about delays. */
  private static final double LEAST_SHARE = 3e-4;

  /** Two microphones of one pair are no farther apart than half a metre. */
  static final double NEAR_LAG_SECONDS = 0.0015;

  private final int longestLag;
  private final int nearLag;
  private final int lowestBin;
  private final int highestBin;
  private final float[] left = new float[BLOCK];
  private final float[] right = new float[BLOCK];
  private int fill;

  private int count;
  private float[] leftPower = new float[256];
  private float[] rightPower = new float[256];
  private float[] product = new float[256];
  private float[] leftPeak = new float[256];
  private float[] rightPeak = new float[256];
  private float[] innerLeft = new float[256];
  private float[] innerRight = new float[256];
  private float[] innerProduct = new float[256];

  /** Cross-spectra of the chapter that is being measured. */
  private float[] whitened = new float[2 * BLOCK];

  private float[] plain = new float[2 * BLOCK];
  private double plainLeft;
  private double plainRight;
  private double loudest;

  private static final int MOST_CHAPTERS = 64;
  private final Chapter[] chapters = new Chapter[MOST_CHAPTERS];
  private int chapterCount;
  private int chapterStart;
  private int chapterBlocks = 48;

  /** What a stretch of blocks has in common, lag by lag from the most negative one. */
  private record Chapter(
      int firstBlock,
      int endBlock,
      float[] whitened,
      float[] plain,
      double leftEnergy,
      double rightEnergy) {
    Chapter with(Chapter later) {
      float[] sharp = whitened.clone();
      float[] level = plain.clone();
      for (int i = 0; i < sharp.length; i++) {
        sharp[i] += later.whitened[i];
        level[i] += later.plain[i];
      }
      return new Chapter(
          firstBlock,
          later.endBlock,
          sharp,
          level,
          leftEnergy + later.leftEnergy,
          rightEnergy + later.rightEnergy);
    }
  }

  private final CommonShape leftByRight = new CommonShape();
  private final CommonShape rightByLeft = new CommonShape();

  PairMeter(int rateHz) {
    this.longestLag = Math.min(BLOCK / 2, (int) Math.ceil(LONGEST_LAG_SECONDS * rateHz));
    this.nearLag = (int) Math.round(NEAR_LAG_SECONDS * rateHz);
    this.lowestBin = (int) Math.ceil(LOWEST_HZ * 2 * BLOCK / rateHz);
    this.highestBin = (int) Math.min(0.9 * BLOCK, HIGHEST_HZ * 2 * BLOCK / rateHz);
  }

  void add(float[] leftSamples, float[] rightSamples, int frameCount) {
    leftByRight.add(leftSamples, rightSamples, frameCount);
    rightByLeft.add(rightSamples, leftSamples, frameCount);
    int at = 0;
    while (at < frameCount) {
      int take = Math.min(frameCount - at, BLOCK - fill);
      for (int i = 0; i < take; i++) {
        left[fill + i] = finite(leftSamples[at + i]);
        right[fill + i] = finite(rightSamples[at + i]);
      }
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
    if (count > chapterStart) {
      closeChapter();
    }
  }

  private void closeChapter() {
    if (chapterCount == MOST_CHAPTERS) {
      for (int i = 0; i < MOST_CHAPTERS / 2; i++) {
        chapters[i] = chapters[2 * i].with(chapters[2 * i + 1]);
      }
      chapterCount /= 2;
      chapterBlocks *= 2;
    }
    Fft fft = Fft.ofSize(2 * BLOCK);
    fft.inverse(whitened);
    fft.inverse(plain);
    float[] sharp = new float[2 * longestLag + 1];
    float[] level = new float[2 * longestLag + 1];
    for (int lag = -longestLag; lag <= longestLag; lag++) {
      sharp[lag + longestLag] = whitened[index(lag)];
      level[lag + longestLag] = plain[index(lag)];
    }
    chapters[chapterCount] = new Chapter(chapterStart, count, sharp, level, plainLeft, plainRight);
    chapterCount++;
    chapterStart = count;
    whitened = new float[2 * BLOCK];
    plain = new float[2 * BLOCK];
    plainLeft = 0;
    plainRight = 0;
  }

  private void close() {
    grow();
    double ll = 0;
    double rr = 0;
    double lr = 0;
    float lPeak = 0;
    float rPeak = 0;
    for (int i = 0; i < BLOCK; i++) {
      double l = left[i];
      double r = right[i];
      ll += l * l;
      rr += r * r;
      lr += l * r;
      lPeak = Math.max(lPeak, Math.abs(left[i]));
      rPeak = Math.max(rPeak, Math.abs(right[i]));
    }
    leftPower[count] = (float) (ll / BLOCK);
    rightPower[count] = (float) (rr / BLOCK);
    product[count] = (float) (lr / BLOCK);
    leftPeak[count] = lPeak;
    rightPeak[count] = rPeak;
    inner(lPeak / 2, rPeak / 2);
    loudest = Math.max(loudest, Math.max(ll, rr));
    if (count % LAG_EVERY == 0 && ll > 0 && rr > 0 && Math.max(ll, rr) > LEAST_SHARE * loudest) {
      addCrossSpectra();
    }
    count++;
    fill = 0;
    if (count - chapterStart >= chapterBlocks) {
      closeChapter();
    }
  }

  /** The same over samples that are small on both sides: no ceiling reaches down there. */
  private void inner(float leftLimit, float rightLimit) {
    double ll = 0;
    double rr = 0;
    double lr = 0;
    for (int i = 0; i < BLOCK; i++) {
      double l = left[i];
      double r = right[i];
      // By the signs of two differences: a branch that is taken at random costs more.
      int beyondLeft = Float.floatToRawIntBits(leftLimit - Math.abs(left[i]));
      int beyondRight = Float.floatToRawIntBits(rightLimit - Math.abs(right[i]));
      double both = 1 - ((beyondLeft | beyondRight) >>> 31);
      ll += both * l * l;
      rr += both * r * r;
      lr += both * l * r;
    }
    innerLeft[count] = (float) (ll / BLOCK);
    innerRight[count] = (float) (rr / BLOCK);
    innerProduct[count] = (float) (lr / BLOCK);
  }

  /** Faded at both ends: hard edges in the same place on both sides would be a common sound. */
  private void addCrossSpectra() {
    float[] a = new float[2 * BLOCK];
    float[] b = new float[2 * BLOCK];
    for (int i = 0; i < BLOCK; i++) {
      int edge = Math.min(i, BLOCK - 1 - i);
      double fade = edge < FADE ? FADES[edge] : 1;
      a[i] = (float) (fade * right[i]);
      b[i] = (float) (fade * left[i]);
      plainRight += (double) a[i] * a[i];
      plainLeft += (double) b[i] * b[i];
    }
    Fft fft = Fft.ofSize(2 * BLOCK);
    fft.forward(a);
    fft.forward(b);
    float[] cross = new float[2 * BLOCK];
    Fft.addCrossSpectrum(a, b, cross);
    for (int i = 0; i < cross.length; i++) {
      plain[i] += cross[i];
    }
    for (int i = 2 * lowestBin; i < 2 * highestBin; i += 2) {
      double re = cross[i];
      double im = cross[i + 1];
      double size = Math.sqrt(re * re + im * im);
      if (size > 0) {
        whitened[i] += (float) (cross[i] / size);
        whitened[i + 1] += (float) (cross[i + 1] / size);
      }
    }
  }

  /**
   * The common sound of both sides.
   *
   * @param lagFrames how much later it comes at right
   * @param correlation correlation there, -1 to 1
   * @param height height of the whitened peak in units of the scatter about it
   * @param near the same for the highest peak within the reach of one pair of microphones
   */
  record Common(int lagFrames, double correlation, double height, @Nullable Common near) {}

  /**
   * What both sides have in common within 20 ms in a stretch of blocks; call after {@link #finish}.
   * Counted are the chapters that lie in it by more than half.
   */
  Common common(int firstBlock, int endBlock) {
    Chapter sum = null;
    for (int i = 0; i < chapterCount; i++) {
      Chapter chapter = chapters[i];
      int inside = Math.min(endBlock, chapter.endBlock) - Math.max(firstBlock, chapter.firstBlock);
      if (2 * inside > chapter.endBlock - chapter.firstBlock) {
        sum = sum == null ? chapter : sum.with(chapter);
      }
    }
    if (sum == null || sum.leftEnergy <= 0 || sum.rightEnergy <= 0) {
      return new Common(0, 0, 0, null);
    }
    Common near = highest(sum, Math.min(nearLag, longestLag), null);
    return highest(sum, longestLag, near);
  }

  private Common highest(Chapter sum, int reach, @Nullable Common near) {
    int best = longestLag;
    for (int i = longestLag - reach; i <= longestLag + reach; i++) {
      best = Math.abs(sum.whitened[i]) > Math.abs(sum.whitened[best]) ? i : best;
    }
    double scatter = Peaks.scatter(sum.whitened);
    return new Common(
        best - longestLag,
        sum.plain[best] / Math.sqrt(sum.leftEnergy * sum.rightEnergy),
        scatter <= 0 ? 0 : Math.abs(sum.whitened[best]) / scatter,
        near);
  }

  private static int index(int lag) {
    return lag < 0 ? 2 * BLOCK + lag : lag;
  }

  private static double[] fades() {
    double[] fades = new double[FADE];
    for (int i = 0; i < FADE; i++) {
      fades[i] = 0.5 - 0.5 * Math.cos(Math.PI * (i + 0.5) / FADE);
    }
    return fades;
  }

  private static float finite(float x) {
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
      innerLeft = Arrays.copyOf(innerLeft, larger);
      innerRight = Arrays.copyOf(innerRight, larger);
      innerProduct = Arrays.copyOf(innerProduct, larger);
    }
  }

  /** Share of one side's power that the other's momentary value explains, the larger one. */
  double explained() {
    return Math.max(leftByRight.explained(), rightByLeft.explained());
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

  double innerLeft(int block) {
    return innerLeft[block];
  }

  double innerRight(int block) {
    return innerRight[block];
  }

  double innerProduct(int block) {
    return innerProduct[block];
  }
}
