package hardpan.listen;

import hardpan.signal.TruePeakMeter;
import java.util.Arrays;

/**
 * Keeps a stereo stream below {@link SafeLevel#CEILING_DBTP}, whatever comes in, by turning it down
 * before a peak arrives and up again slowly. Both ears are turned alike.
 *
 * <p>Why the ceiling holds. Let r(n) be the factor that would bring the true peak of the twelve
 * samples up to n (ITU-R BS.1770, Annex 2) to c, one dB below the ceiling. The applied factor is
 * the mean over L frames of the least r over a stretch that is longer by the reach of those twelve
 * samples on both sides. So for every sample x and every frame within eleven of it, the factor is a
 * mean of values of at most c / |x|, and between such frames it differs by at most 11/L of that.
 * Split the sum that interpolates the output into the least factor of its samples, which gives at
 * most c, and the rest, which gives at most 2.03 (the sum of the filter's absolute coefficients) x
 * 11/L x c. With L of 220 or more that is 0.84 dB at most.
 *
 * <p>NaN and infinities count as silence; samples beyond 48 dB over full scale are held there. Not
 * safe for use by several threads at once.
 */
final class Limiter {
  /** Taps of the true-peak filter before the newest. */
  private static final int REACH = 11;

  private static final int LEAST_SMOOTH_FRAMES = 220;
  private static final int SMOOTH_PER_SECOND = 200;
  private static final double RELEASE_SECONDS = 0.2;
  private static final float LARGEST_SAMPLE = 256;
  private static final double AIM = SafeLevel.factor(SafeLevel.CEILING_DBTP - 1);
  private static final float CEILING = (float) SafeLevel.factor(SafeLevel.CEILING_DBTP);

  private final TruePeakMeter leftPeak;
  private final TruePeakMeter rightPeak;
  private final float[] leftLine;
  private final float[] rightLine;
  private final double[] smoothing;
  private final LeastOfLast least;
  private final double release;
  private final float[] one = new float[1];
  private int at;
  private int smoothAt;
  private double sum;
  private double factor = 1;

  Limiter(int rateHz) {
    int smooth = Math.max(LEAST_SMOOTH_FRAMES, rateHz / SMOOTH_PER_SECOND);
    leftPeak = TruePeakMeter.above(rateHz, (float) AIM);
    rightPeak = TruePeakMeter.above(rateHz, (float) AIM);
    leftLine = new float[smooth + REACH - 1];
    rightLine = new float[leftLine.length];
    smoothing = new double[smooth];
    Arrays.fill(smoothing, 1);
    sum = smooth;
    least = new LeastOfLast(smooth + 2 * REACH);
    release = 1 - Math.exp(-1 / (RELEASE_SECONDS * rateHz));
  }

  /** Frames by which the output is later than the input. */
  int delayFrames() {
    return leftLine.length;
  }

  /** Replaces a block by what may be heard, {@link #delayFrames} later. */
  void process(float[] left, float[] right, int frames) {
    for (int i = 0; i < frames; i++) {
      float inLeft = sane(left[i]);
      float inRight = sane(right[i]);
      double peak = Math.max(peak(leftPeak, inLeft), peak(rightPeak, inRight));
      double allowed = Math.min(1, AIM / peak);
      factor = Math.min(allowed, factor + (1 - factor) * release);
      double now = smoothed(least.add(factor));
      left[i] = held(leftLine[at] * now);
      right[i] = held(rightLine[at] * now);
      leftLine[at] = inLeft;
      rightLine[at] = inRight;
      at = at + 1 == leftLine.length ? 0 : at + 1;
    }
  }

  private double peak(TruePeakMeter meter, float sample) {
    one[0] = sample;
    meter.add(one, 0, 1);
    return meter.takePeak();
  }

  private double smoothed(double value) {
    sum += value - smoothing[smoothAt];
    smoothing[smoothAt] = value;
    smoothAt++;
    if (smoothAt == smoothing.length) {
      smoothAt = 0;
      // Anew, so that rounding never adds up.
      sum = Arrays.stream(smoothing).sum();
    }
    return sum / smoothing.length;
  }

  private static float sane(float sample) {
    return Float.isFinite(sample) ? Math.max(-LARGEST_SAMPLE, Math.min(LARGEST_SAMPLE, sample)) : 0;
  }

  /** Rounding aside this changes nothing. */
  private static float held(double sample) {
    return (float) Math.max(-CEILING, Math.min(CEILING, sample));
  }

  /** The least of the last so many values, in constant time a value. */
  private static final class LeastOfLast {
    private final double[] values;
    private final long[] numbers;
    private int first;
    private int count;
    private long number;

    LeastOfLast(int length) {
      values = new double[length];
      numbers = new long[length];
    }

    double add(double value) {
      if (count > 0 && numbers[first] <= number - values.length) {
        first = next(first, 1);
        count--;
      }
      while (count > 0 && values[next(first, count - 1)] >= value) {
        count--;
      }
      int place = next(first, count);
      values[place] = value;
      numbers[place] = number++;
      count++;
      return values[first];
    }

    private int next(int from, int steps) {
      return (from + steps) % values.length;
    }
  }
}
