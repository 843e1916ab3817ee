package hardpan.verdict;

import java.util.Arrays;

/**
 * How full the waves are that reach a supposed ceiling: their mean above half of it as a share of
 * it. A sine's is 0.83, that of natural sound 0.76 to 0.85; a wave that was cut off is nearer to 1,
 * and stays so when a codec makes its flat top ripple, because ripples do not change the mean.
 *
 * @param number how many waves reach it
 * @param middle their middle fullness
 * @param upper the fullness that nine of ten stay below
 * @param beyond share of them that go beyond it by a quarter or more
 * @param height middle of their largest values as a share of the ceiling
 * @param usual middle fullness of waves that stay well below the ceiling, each against its own
 *     height; sound that is square by nature is full there too
 * @param usualNumber number of those
 */
record TopShapes(
    int number,
    double middle,
    double upper,
    double beyond,
    double height,
    double usual,
    int usualNumber) {
  private static final int LEAST_FRAMES = 4;
  private static final double REACHES = 0.93;
  private static final double FAR_BEYOND = 1.25;
  private static final int MOST = 20_000;
  private static final double USUAL_TO = 0.85;
  private static final float LOUD = 0.3f;

  /**
   * Measures them.
   *
   * @param sign 1 for the positive half of the wave, -1 for the negative
   */
  static TopShapes of(float[][] pieces, int sign, double ceiling) {
    double[] fullness = new double[256];
    double[] heights = new double[256];
    int count = 0;
    double[] usual = new double[256];
    int usualCount = 0;
    int beyond = 0;
    float half = (float) (0.5 * ceiling);
    for (float[] piece : pieces) {
      int start = -1;
      double sum = 0;
      float largest = 0;
      // Waves that a piece's edges cut are left out.
      boolean whole = false;
      for (int i = 0; i < piece.length && count < MOST; i++) {
        float x = sign * piece[i];
        if (x > half) {
          start = start < 0 ? i : start;
          sum += x;
          largest = Math.max(largest, x);
          continue;
        }
        if (whole && start >= 0 && i - start >= LEAST_FRAMES && largest > REACHES * ceiling) {
          if (count == fullness.length) {
            fullness = Arrays.copyOf(fullness, 2 * count);
            heights = Arrays.copyOf(heights, 2 * count);
          }
          fullness[count] = sum / (i - start) / ceiling;
          heights[count] = largest / ceiling;
          beyond += largest > FAR_BEYOND * ceiling ? 1 : 0;
          count++;
        }
        boolean lower = largest < USUAL_TO * ceiling && usualCount < MOST;
        if (whole && start >= 0 && i - start >= LEAST_FRAMES && lower) {
          usual = usualCount == usual.length ? Arrays.copyOf(usual, 2 * usualCount) : usual;
          usual[usualCount++] = ownFullness(piece, start, i, sign, largest);
        }
        whole = true;
        start = -1;
        sum = 0;
        largest = 0;
      }
    }
    if (count == 0) {
      return new TopShapes(0, 0, 0, 0, 0, 0, 0);
    }
    Arrays.sort(usual, 0, usualCount);
    double usualMiddle = usualCount == 0 ? 0 : usual[usualCount / 2];
    Arrays.sort(fullness, 0, count);
    Arrays.sort(heights, 0, count);
    return new TopShapes(
        count,
        fullness[count / 2],
        fullness[Math.min(count - 1, count * 9 / 10)],
        (double) beyond / count,
        heights[count / 2],
        usualMiddle,
        usualCount);
  }

  private static double ownFullness(float[] piece, int from, int to, int sign, float height) {
    double sum = 0;
    int frames = 0;
    for (int k = from; k < to; k++) {
      float x = sign * piece[k];
      if (x > 0.5f * height) {
        sum += x;
        frames++;
      }
    }
    return sum / frames / height;
  }

  /** Largest values of the louder waves of one half, in rising order. */
  static double[] heights(float[][] pieces, int sign) {
    float largest = 0;
    for (float[] piece : pieces) {
      for (float sample : piece) {
        largest = Math.max(largest, sign * sample);
      }
    }
    double[] heights = new double[256];
    int count = 0;
    for (float[] piece : pieces) {
      float height = 0;
      for (float sample : piece) {
        float x = sign * sample;
        if (x > LOUD * largest) {
          height = Math.max(height, x);
        } else if (height > 0) {
          heights = count == heights.length ? Arrays.copyOf(heights, 2 * count) : heights;
          heights[count++] = height;
          height = 0;
        }
      }
    }
    double[] sorted = Arrays.copyOf(heights, count);
    Arrays.sort(sorted);
    return sorted;
  }
}
