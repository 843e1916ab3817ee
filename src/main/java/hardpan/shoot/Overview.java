package hardpan.shoot;

import hardpan.media.BlockListener;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The waveform of a source in a few thousand columns: smallest and largest sample of each channel
 * in each. Columns are merged two by two as the sound grows, so the size does not depend on the
 * length.
 */
public final class Overview implements BlockListener {
  private static final int MOST_COLUMNS = 4096;
  private static final int HEAD_BYTES = 3 * Integer.BYTES;

  private final float[][] minima;
  private final float[][] maxima;
  private int framesInColumn = 64;
  private int columns;
  private int fill;

  /** For a number of channels. */
  public Overview(int channelCount) {
    this.minima = new float[channelCount][MOST_COLUMNS];
    this.maxima = new float[channelCount][MOST_COLUMNS];
  }

  @Override
  public void onBlock(long startFrame, float[][] planar, int frameCount) {
    int at = 0;
    while (at < frameCount) {
      if (fill == framesInColumn) {
        fill = 0;
        columns++;
        if (columns == MOST_COLUMNS) {
          halve();
        }
      }
      int take = Math.min(frameCount - at, framesInColumn - fill);
      for (int channel = 0; channel < minima.length; channel++) {
        extend(channel, planar[channel], at, take, fill == 0);
      }
      fill += take;
      at += take;
    }
  }

  private void extend(int channel, float[] samples, int from, int count, boolean fresh) {
    float low = fresh ? Float.MAX_VALUE : minima[channel][columns];
    float high = fresh ? -Float.MAX_VALUE : maxima[channel][columns];
    for (int i = from; i < from + count; i++) {
      low = Math.min(low, samples[i]);
      high = Math.max(high, samples[i]);
    }
    minima[channel][columns] = low;
    maxima[channel][columns] = high;
  }

  private void halve() {
    for (int channel = 0; channel < minima.length; channel++) {
      for (int i = 0; i < MOST_COLUMNS / 2; i++) {
        minima[channel][i] = Math.min(minima[channel][2 * i], minima[channel][2 * i + 1]);
        maxima[channel][i] = Math.max(maxima[channel][2 * i], maxima[channel][2 * i + 1]);
      }
    }
    columns = MOST_COLUMNS / 2;
    framesInColumn *= 2;
  }

  private int used() {
    return fill > 0 ? columns + 1 : columns;
  }

  /** The waveform at every coarseness, for drawing; does not change with this any more. */
  public WaveLevels levels() {
    return WaveLevels.of(framesInColumn, minima(MOST_COLUMNS), maxima(MOST_COLUMNS));
  }

  /**
   * Smallest samples.
   *
   * @param most number of columns at most
   * @return one array a channel, all of one length, empty for an empty source
   */
  public List<float[]> minima(int most) {
    return shrunk(minima, most, -1);
  }

  /** Largest samples, as {@link #minima}. */
  public List<float[]> maxima(int most) {
    return shrunk(maxima, most, 1);
  }

  private List<float[]> shrunk(float[][] values, int most, int sign) {
    int from = used();
    int count = Math.min(most, from);
    List<float[]> result = new ArrayList<>();
    for (float[] channel : values) {
      float[] out = new float[count];
      Arrays.fill(out, -sign * Float.MAX_VALUE);
      for (int i = 0; i < from; i++) {
        int column = (int) ((long) i * count / from);
        out[column] = sign * Math.max(sign * out[column], sign * channel[i]);
      }
      result.add(out);
    }
    return result;
  }

  /** One channel, bit for bit, for keeping; {@link #of} takes it back. */
  byte[] channelBytes(int channel) {
    int used = used();
    ByteBuffer bytes = ByteBuffer.allocate(HEAD_BYTES + used * 2 * Float.BYTES);
    bytes.putInt(framesInColumn).putInt(columns).putInt(fill);
    for (int i = 0; i < used; i++) {
      bytes.putInt(Float.floatToRawIntBits(minima[channel][i]));
      bytes.putInt(Float.floatToRawIntBits(maxima[channel][i]));
    }
    return bytes.array();
  }

  /**
   * The waveform from what {@link #channelBytes} gave.
   *
   * @param channels one a channel
   * @throws IllegalArgumentException if that is not what they are
   */
  static Overview of(List<byte[]> channels) {
    Overview overview = new Overview(channels.size());
    for (int channel = 0; channel < channels.size(); channel++) {
      ByteBuffer bytes = ByteBuffer.wrap(channels.get(channel));
      overview.take(channel, bytes);
    }
    return overview;
  }

  private void take(int channel, ByteBuffer bytes) {
    boolean headed = bytes.remaining() >= HEAD_BYTES;
    int wide = headed ? bytes.getInt() : 0;
    int whole = headed ? bytes.getInt() : 0;
    int rest = headed ? bytes.getInt() : 0;
    boolean first = channel == 0;
    boolean sound =
        wide >= 64
            && whole >= 0
            && whole < MOST_COLUMNS
            && rest >= 0
            && rest <= wide
            && (first || (wide == framesInColumn && whole == columns && rest == fill));
    framesInColumn = wide;
    columns = whole;
    fill = rest;
    if (!sound || bytes.remaining() != used() * 2 * Float.BYTES) {
      throw new IllegalArgumentException("not a kept waveform");
    }
    for (int i = 0; i < used(); i++) {
      minima[channel][i] = Float.intBitsToFloat(bytes.getInt());
      maxima[channel][i] = Float.intBitsToFloat(bytes.getInt());
    }
  }
}
