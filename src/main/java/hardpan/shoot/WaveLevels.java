package hardpan.shoot;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Smallest and largest samples of each channel in columns of equal length, and the same two by two
 * up to a single column, so that a picture of any width is drawn from a few columns a pixel. A
 * coarser column holds the smallest of the smallest and the largest of the largest, never a mean: a
 * click of one sample is seen from any distance. Does not change; safe for several threads.
 */
public final class WaveLevels {
  private final int framesInColumn;
  private final int channelCount;

  /** By level, finest first, then by channel. */
  private final List<float[][]> minima = new ArrayList<>();

  private final List<float[][]> maxima = new ArrayList<>();

  private WaveLevels(int framesInColumn, int channelCount) {
    this.framesInColumn = framesInColumn;
    this.channelCount = channelCount;
  }

  /**
   * From the finest columns.
   *
   * @param framesInColumn length of a column, at least 1; the last one may hold less
   * @param minima one array a channel, all of one length; may be empty
   * @param maxima the same
   * @throws IllegalArgumentException if the lengths differ or a column holds no frame
   */
  public static WaveLevels of(int framesInColumn, List<float[]> minima, List<float[]> maxima) {
    int count = minima.isEmpty() ? 0 : minima.get(0).length;
    boolean even =
        minima.size() == maxima.size()
            && minima.stream().allMatch(channel -> channel.length == count)
            && maxima.stream().allMatch(channel -> channel.length == count);
    if (!even || framesInColumn < 1) {
      throw new IllegalArgumentException("columns of different lengths");
    }
    WaveLevels levels = new WaveLevels(framesInColumn, minima.size());
    levels.minima.add(copied(minima));
    levels.maxima.add(copied(maxima));
    for (int columns = count; columns > 1; columns = (columns + 1) / 2) {
      levels.minima.add(coarser(levels.minima.get(levels.minima.size() - 1), -1));
      levels.maxima.add(coarser(levels.maxima.get(levels.maxima.size() - 1), 1));
    }
    return levels;
  }

  private static float[][] copied(List<float[]> channels) {
    return channels.stream().map(float[]::clone).toArray(float[][]::new);
  }

  private static float[][] coarser(float[][] channels, int sign) {
    float[][] merged = new float[channels.length][];
    for (int channel = 0; channel < channels.length; channel++) {
      float[] fine = channels[channel];
      float[] wide = new float[(fine.length + 1) / 2];
      for (int i = 0; i < wide.length; i++) {
        float second = 2 * i + 1 < fine.length ? fine[2 * i + 1] : fine[2 * i];
        wide[i] = sign * Math.max(sign * fine[2 * i], sign * second);
      }
      merged[channel] = wide;
    }
    return merged;
  }

  /** Number of channels. */
  public int channelCount() {
    return channelCount;
  }

  /** Frames in a column of the finest level. */
  public int framesInColumn() {
    return framesInColumn;
  }

  /** Number of columns of the finest level. */
  public int columnCount() {
    return channelCount == 0 ? 0 : minima.get(0)[0].length;
  }

  /**
   * Smallest and largest samples pixel by pixel. A pixel takes in every column it touches, of the
   * coarsest level whose columns are no longer than a pixel; so it may reach less than a pixel
   * beyond its own frames on either side, and where the finest columns are longer than a pixel,
   * further.
   *
   * @param channel index of the channel
   * @param firstFrame where the first pixel begins; may lie before the sound
   * @param framesPerPixel above 0
   * @param pixels how many
   * @param low filled with the smallest samples; NaN where a pixel touches no sound
   * @param high filled with the largest ones
   */
  public void extremes(
      int channel,
      double firstFrame,
      double framesPerPixel,
      int pixels,
      float[] low,
      float[] high) {
    int level = 0;
    double columnFrames = framesInColumn;
    while (level + 1 < minima.size() && 2 * columnFrames <= framesPerPixel) {
      level++;
      columnFrames *= 2;
    }
    float[] smallest = minima.get(level)[channel];
    float[] largest = maxima.get(level)[channel];
    Arrays.fill(low, 0, pixels, Float.NaN);
    Arrays.fill(high, 0, pixels, Float.NaN);
    for (int pixel = 0; pixel < pixels; pixel++) {
      double from = (firstFrame + pixel * framesPerPixel) / columnFrames;
      double to = (firstFrame + (pixel + 1) * framesPerPixel) / columnFrames;
      if (to <= 0 || from >= smallest.length) {
        continue;
      }
      int first = (int) Math.max(0, Math.floor(from));
      int end = (int) Math.min(smallest.length, Math.max(first + 1.0, Math.ceil(to)));
      float least = smallest[first];
      float most = largest[first];
      for (int column = first + 1; column < end; column++) {
        least = Math.min(least, smallest[column]);
        most = Math.max(most, largest[column]);
      }
      low[pixel] = least;
      high[pixel] = most;
    }
  }
}
