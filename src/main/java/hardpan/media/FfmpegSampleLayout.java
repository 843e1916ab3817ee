package hardpan.media;

import java.util.Arrays;
import org.bytedeco.ffmpeg.avutil.AVFrame;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.bytedeco.javacpp.DoublePointer;
import org.bytedeco.javacpp.FloatPointer;
import org.bytedeco.javacpp.IntPointer;
import org.bytedeco.javacpp.LongPointer;
import org.bytedeco.javacpp.Pointer;
import org.bytedeco.javacpp.ShortPointer;

/**
 * Moves samples between the libraries' frames (any sample format, packed or planar) and planar Java
 * arrays.
 *
 * <p>Whole numbers come and go left-justified in 32 bits. Floats become whole numbers by rounding
 * to the nearest value and clamping at full scale; NaN becomes 0. Not safe for several threads.
 */
final class FfmpegSampleLayout {
  private byte[] bytes = new byte[0];
  private short[] shorts = new short[0];
  private int[] ints = new int[0];
  private long[] longs = new long[0];
  private float[] floats = new float[0];
  private double[] doubles = new double[0];

  /** Whether a sample format of the libraries holds whole numbers. */
  static boolean isInteger(int sampleFormat) {
    int packed = avutil.av_get_packed_sample_fmt(sampleFormat);
    return packed == avutil.AV_SAMPLE_FMT_U8
        || packed == avutil.AV_SAMPLE_FMT_S16
        || packed == avutil.AV_SAMPLE_FMT_S32
        || packed == avutil.AV_SAMPLE_FMT_S64;
  }

  /**
   * Takes a decoded frame apart into floats. Channels the frame does not have become silent.
   *
   * @param planar one array a channel, long enough for {@code at + frame.nb_samples()}
   * @param at first index to fill
   */
  void toFloats(AVFrame frame, float[][] planar, int at) {
    int count = frame.nb_samples();
    int inFrame = frame.ch_layout().nb_channels();
    int format = frame.format();
    boolean isPlanar = avutil.av_sample_fmt_is_planar(format) == 1;
    int packed = avutil.av_get_packed_sample_fmt(format);
    for (int c = 0; c < planar.length; c++) {
      float[] out = planar[c];
      if (c >= inFrame) {
        Arrays.fill(out, at, at + count, 0f);
        continue;
      }
      int first = isPlanar ? 0 : c;
      int step = isPlanar ? 1 : inFrame;
      if (isPlanar || c == 0) {
        fetch(frame.extended_data(isPlanar ? c : 0), packed, isPlanar ? count : count * inFrame);
      }
      for (int i = 0, from = first; i < count; i++, from += step) {
        out[at + i] = floatAt(packed, from);
      }
    }
  }

  /** As {@link #toFloats}, into whole numbers left-justified in 32 bits. */
  void toIntegers(AVFrame frame, int[][] planar, int at) {
    int count = frame.nb_samples();
    int inFrame = frame.ch_layout().nb_channels();
    int format = frame.format();
    boolean isPlanar = avutil.av_sample_fmt_is_planar(format) == 1;
    int packed = avutil.av_get_packed_sample_fmt(format);
    for (int c = 0; c < planar.length; c++) {
      int[] out = planar[c];
      if (c >= inFrame) {
        Arrays.fill(out, at, at + count, 0);
        continue;
      }
      int first = isPlanar ? 0 : c;
      int step = isPlanar ? 1 : inFrame;
      if (isPlanar || c == 0) {
        fetch(frame.extended_data(isPlanar ? c : 0), packed, isPlanar ? count : count * inFrame);
      }
      for (int i = 0, from = first; i < count; i++, from += step) {
        out[at + i] = integerAt(packed, from);
      }
    }
  }

  private void fetch(Pointer data, int packed, int values) {
    if (packed == avutil.AV_SAMPLE_FMT_U8) {
      if (bytes.length < values) {
        bytes = new byte[values];
      }
      new BytePointer(data).get(bytes, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_S16) {
      if (shorts.length < values) {
        shorts = new short[values];
      }
      new ShortPointer(data).get(shorts, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_S32) {
      if (ints.length < values) {
        ints = new int[values];
      }
      new IntPointer(data).get(ints, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_S64) {
      if (longs.length < values) {
        longs = new long[values];
      }
      new LongPointer(data).get(longs, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_FLT) {
      if (floats.length < values) {
        floats = new float[values];
      }
      new FloatPointer(data).get(floats, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_DBL) {
      if (doubles.length < values) {
        doubles = new double[values];
      }
      new DoublePointer(data).get(doubles, 0, values);
    } else {
      throw new IllegalStateException("sample format " + packed);
    }
  }

  private float floatAt(int packed, int index) {
    if (packed == avutil.AV_SAMPLE_FMT_FLT) {
      return floats[index];
    }
    if (packed == avutil.AV_SAMPLE_FMT_DBL) {
      return (float) doubles[index];
    }
    return integerAt(packed, index) * 0x1p-31f;
  }

  private int integerAt(int packed, int index) {
    if (packed == avutil.AV_SAMPLE_FMT_S16) {
      return shorts[index] << 16;
    }
    if (packed == avutil.AV_SAMPLE_FMT_S32) {
      return ints[index];
    }
    if (packed == avutil.AV_SAMPLE_FMT_U8) {
      return ((bytes[index] & 0xFF) - 128) << 24;
    }
    if (packed == avutil.AV_SAMPLE_FMT_S64) {
      return (int) (longs[index] >> 32);
    }
    return quantised(packed == avutil.AV_SAMPLE_FMT_FLT ? floats[index] : doubles[index], 32);
  }

  /**
   * Fills the data of a frame that is to be encoded.
   *
   * @param planar one array a channel
   * @param firstChannel the first of the frame's channels in {@code planar}
   * @param count frames to fill, from index 0
   * @param bits valid bits of a whole number, at most 32; they go into the high bits of the format
   */
  void fromFloats(float[][] planar, int firstChannel, int count, int bits, AVFrame frame) {
    int format = frame.format();
    int channels = frame.ch_layout().nb_channels();
    boolean isPlanar = avutil.av_sample_fmt_is_planar(format) == 1;
    int packed = avutil.av_get_packed_sample_fmt(format);
    int arrays = isPlanar ? channels : 1;
    int inArray = isPlanar ? 1 : channels;
    for (int a = 0; a < arrays; a++) {
      BytePointer data = frame.extended_data(a);
      int values = count * inArray;
      if (packed == avutil.AV_SAMPLE_FMT_FLT) {
        floats = floats.length < values ? new float[values] : floats;
      } else if (packed == avutil.AV_SAMPLE_FMT_DBL) {
        doubles = doubles.length < values ? new double[values] : doubles;
      } else {
        ints = ints.length < values ? new int[values] : ints;
      }
      for (int i = 0, to = 0; i < count; i++) {
        for (int c = 0; c < inArray; c++, to++) {
          float value = planar[firstChannel + a + c][i];
          if (packed == avutil.AV_SAMPLE_FMT_FLT) {
            floats[to] = value;
          } else if (packed == avutil.AV_SAMPLE_FMT_DBL) {
            doubles[to] = value;
          } else {
            ints[to] = quantised(value, bits);
          }
        }
      }
      store(data, packed, values);
    }
  }

  private void store(BytePointer data, int packed, int values) {
    if (packed == avutil.AV_SAMPLE_FMT_FLT) {
      new FloatPointer(data).put(floats, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_DBL) {
      new DoublePointer(data).put(doubles, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_S32) {
      new IntPointer(data).put(ints, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_S16) {
      shorts = shorts.length < values ? new short[values] : shorts;
      for (int i = 0; i < values; i++) {
        shorts[i] = (short) (ints[i] >> 16);
      }
      new ShortPointer(data).put(shorts, 0, values);
    } else if (packed == avutil.AV_SAMPLE_FMT_U8) {
      bytes = bytes.length < values ? new byte[values] : bytes;
      for (int i = 0; i < values; i++) {
        bytes[i] = (byte) ((ints[i] >> 24) + 128);
      }
      new BytePointer(data).put(bytes, 0, values);
    } else {
      throw new IllegalStateException("sample format " + packed);
    }
  }

  /** Nearest whole number of so many bits, clamped at full scale, left-justified in 32 bits. */
  static int quantised(double value, int bits) {
    double fullScale = Math.scalb(1.0, bits - 1);
    double rounded = Math.rint(value * fullScale);
    if (Double.isNaN(rounded)) {
      return 0;
    }
    long clamped = (long) Math.max(-fullScale, Math.min(fullScale - 1, rounded));
    return (int) (clamped << (32 - bits));
  }
}
