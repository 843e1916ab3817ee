package hardpan.wave;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;

/**
 * Interleaved little-endian bytes to planar arrays and back. One tight loop a channel, so that the
 * compiler sees plain array access.
 */
final class SampleCodec {
  private static final VarHandle SHORTS =
      MethodHandles.byteArrayViewVarHandle(short[].class, ByteOrder.LITTLE_ENDIAN);
  private static final VarHandle INTS =
      MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.LITTLE_ENDIAN);
  private static final VarHandle FLOATS =
      MethodHandles.byteArrayViewVarHandle(float[].class, ByteOrder.LITTLE_ENDIAN);
  private static final VarHandle DOUBLES =
      MethodHandles.byteArrayViewVarHandle(double[].class, ByteOrder.LITTLE_ENDIAN);

  private SampleCodec() {}

  /** Bytes to floats; whole numbers are divided by two to the power of bits less one. */
  static void toFloats(byte[] in, WaveFormat format, float[][] planar, int at, int frames) {
    int step = format.bytesPerFrame();
    int width = format.bytesPerSample();
    boolean isFloat = format.coding() == WaveFormat.Coding.FLOAT;
    for (int channel = 0; channel < format.channelCount(); channel++) {
      float[] out = planar[channel];
      int p = channel * width;
      int end = at + frames;
      if (isFloat && width == 4) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (float) FLOATS.get(in, p);
        }
      } else if (isFloat) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (float) (double) DOUBLES.get(in, p);
        }
      } else if (width == 1) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = ((in[p] & 0xFF) - 128) * 0x1p-7f;
        }
      } else if (width == 2) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (short) SHORTS.get(in, p) * 0x1p-15f;
        }
      } else if (width == 3) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (in[p + 2] << 16 | (in[p + 1] & 0xFF) << 8 | (in[p] & 0xFF)) * 0x1p-23f;
        }
      } else {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (int) INTS.get(in, p) * 0x1p-31f;
        }
      }
    }
  }

  /** Bytes of whole numbers to 32-bit numbers, left-justified. */
  static void toIntegers(byte[] in, WaveFormat format, int[][] planar, int at, int frames) {
    int step = format.bytesPerFrame();
    int width = format.bytesPerSample();
    for (int channel = 0; channel < format.channelCount(); channel++) {
      int[] out = planar[channel];
      int p = channel * width;
      int end = at + frames;
      if (width == 1) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = ((in[p] & 0xFF) - 128) << 24;
        }
      } else if (width == 2) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (short) SHORTS.get(in, p) << 16;
        }
      } else if (width == 3) {
        for (int i = at; i < end; i++, p += step) {
          out[i] = in[p + 2] << 24 | (in[p + 1] & 0xFF) << 16 | (in[p] & 0xFF) << 8;
        }
      } else {
        for (int i = at; i < end; i++, p += step) {
          out[i] = (int) INTS.get(in, p);
        }
      }
    }
  }

  /** Left-justified 32-bit numbers to bytes; what does not fit the container falls away. */
  static void fromIntegers(int[][] planar, WaveFormat format, int at, int frames, byte[] out) {
    for (int channel = 0; channel < format.channelCount(); channel++) {
      int[] in = planar[channel];
      int width = format.bytesPerSample();
      int step = format.bytesPerFrame();
      int p = channel * width;
      for (int i = at; i < at + frames; i++, p += step) {
        put(out, p, width, in[i]);
      }
    }
  }

  /** Floats to bytes of a float file, as they are. */
  static void fromFloats(float[][] planar, WaveFormat format, int at, int frames, byte[] out) {
    int width = format.bytesPerSample();
    int step = format.bytesPerFrame();
    for (int channel = 0; channel < format.channelCount(); channel++) {
      float[] in = planar[channel];
      int p = channel * width;
      for (int i = at; i < at + frames; i++, p += step) {
        if (width == 4) {
          FLOATS.set(out, p, in[i]);
        } else {
          DOUBLES.set(out, p, (double) in[i]);
        }
      }
    }
  }

  /**
   * Floats to bytes of a whole-number file: rounded to the nearest step of the valid bits, clamped
   * at the ends of the range; NaN becomes 0.
   *
   * @return how many samples were clamped
   */
  static long quantise(float[][] planar, WaveFormat format, int at, int frames, byte[] out) {
    int width = format.bytesPerSample();
    int step = format.bytesPerFrame();
    int shift = 32 - format.validBits();
    double scale = Math.scalb(1.0, format.validBits() - 1);
    long highest = (long) scale - 1;
    long lowest = (long) -scale;
    long clamped = 0;
    for (int channel = 0; channel < format.channelCount(); channel++) {
      float[] in = planar[channel];
      int p = channel * width;
      for (int i = at; i < at + frames; i++, p += step) {
        long value = Math.round(in[i] * scale);
        if (value > highest) {
          value = highest;
          clamped++;
        } else if (value < lowest) {
          value = lowest;
          clamped++;
        }
        put(out, p, width, (int) (value << shift));
      }
    }
    return clamped;
  }

  private static void put(byte[] out, int p, int width, int leftJustified) {
    switch (width) {
      case 1 -> out[p] = (byte) ((leftJustified >> 24) + 128);
      case 2 -> SHORTS.set(out, p, (short) (leftJustified >> 16));
      case 3 -> {
        out[p] = (byte) (leftJustified >> 8);
        out[p + 1] = (byte) (leftJustified >> 16);
        out[p + 2] = (byte) (leftJustified >> 24);
      }
      default -> INTS.set(out, p, leftJustified);
    }
  }
}
