package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.signal.BandEnergies;
import hardpan.signal.Fft;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/**
 * The levelled bands of a map as spectra, block by block in a scratch file, so that every source
 * that is looked for in it finds them ready. Memory does not grow with the map's length.
 *
 * <p>Frames are four of the map's: what a band does within 40 ms tells little beyond its mean, and
 * the work is a quarter. Each is taken as the logarithm of its power over a floor that lies a
 * little below the mean power of the seconds around it: what is quieter would be lost in a clip's
 * noise, and a clean recording's deep pauses must not outweigh all that is left there. Then its own
 * mean over one second is taken away, so that level, automatic gain and equalisation drop out.
 */
final class MapSpectra {
  static final int BANDS = BandEnergies.BANDS;

  /** Frames of the map in one of ours. */
  static final int MAP_FRAMES = 4;

  /** Frames in a block, and the length of its transform. */
  static final int SIZE = 1 << 14;

  /** Longest stretch that can be looked for, in our frames. */
  static final int LONGEST_PROBE = 3000;

  /** From one block to the next. */
  static final int HOP = SIZE - LONGEST_PROBE;

  private static final int HALF_MEAN_FRAMES = 13;
  private static final int HALF_FLOOR_FRAMES = 62;
  private static final double OVER_FLOOR = 3;
  private static final double LEAST_FLOOR = 0.02;
  private static final float[] POWERS = powers();
  private static final int BLOCK_BYTES = BANDS * SIZE * Float.BYTES;

  private final Path file;
  private final long frames;

  private MapSpectra(Path file, long frames) {
    this.file = file;
    this.frames = frames;
  }

  /**
   * Makes the spectra of a map.
   *
   * @param file scratch file, replaced if there
   * @throws MediaException if a scratch file cannot be read or written
   */
  static MapSpectra of(BandMap map, Path file) throws MediaException {
    MapSpectra spectra = new MapSpectra(file, frames(map));
    try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(file), 1 << 16)) {
      ByteBuffer bytes = ByteBuffer.allocate(SIZE * Float.BYTES).order(ByteOrder.LITTLE_ENDIAN);
      for (long block = 0; block < spectra.blocks(); block++) {
        float[][] bands = bands(map, firstFrame(block), SIZE, SIZE);
        for (float[] band : bands) {
          bytes.asFloatBuffer().put(spectrum(band));
          out.write(bytes.array());
        }
      }
    } catch (IOException e) {
      throw BandMap.scratchFailure(e);
    }
    return spectra;
  }

  /** Length of a map in our frames. */
  static long frames(BandMap map) {
    return map.frames() / MAP_FRAMES;
  }

  long frames() {
    return frames;
  }

  long blocks() {
    return (frames + LONGEST_PROBE + HOP - 1) / HOP;
  }

  /** Frame at which a block begins; the first begins before the map. */
  static long firstFrame(long block) {
    return block * HOP - LONGEST_PROBE;
  }

  /**
   * The spectrum of a band: all real parts, then all imaginary parts, the real part at the highest
   * frequency in the place of the first imaginary one. So kept, many can be multiplied at once.
   */
  static float[] spectrum(float[] band) {
    Fft.ofSize(SIZE).forward(band);
    float[] split = new float[SIZE];
    for (int bin = 0; bin < SIZE / 2; bin++) {
      split[bin] = band[2 * bin];
      split[SIZE / 2 + bin] = band[2 * bin + 1];
    }
    return split;
  }

  /** Adds the cross-spectrum {@code a x conj(b)}, all laid out as {@link #spectrum} gives them. */
  static void addCross(float[] a, float[] b, float[] sum) {
    float lowest = sum[0] + a[0] * b[0];
    float highest = sum[SIZE / 2] + a[SIZE / 2] * b[SIZE / 2];
    for (int i = 0; i < SIZE / 2; i++) {
      sum[i] += a[i] * b[i] + a[i + SIZE / 2] * b[i + SIZE / 2];
    }
    for (int i = 0; i < SIZE / 2; i++) {
      sum[i + SIZE / 2] += a[i + SIZE / 2] * b[i] - a[i] * b[i + SIZE / 2];
    }
    sum[0] = lowest;
    sum[SIZE / 2] = highest;
  }

  /** The sequence of a spectrum that is laid out as {@link #spectrum} gives it. */
  static void inverse(float[] split, float[] sequence) {
    for (int bin = 0; bin < SIZE / 2; bin++) {
      sequence[2 * bin] = split[bin];
      sequence[2 * bin + 1] = split[SIZE / 2 + bin];
    }
    Fft.ofSize(SIZE).inverse(sequence);
  }

  /** Reads blocks one after the other. */
  static final class Blocks implements AutoCloseable {
    private final FileChannel channel;
    private final ByteBuffer bytes =
        ByteBuffer.allocateDirect(BLOCK_BYTES).order(ByteOrder.LITTLE_ENDIAN);

    Blocks(MapSpectra spectra) throws MediaException {
      try {
        channel = FileChannel.open(spectra.file, StandardOpenOption.READ);
      } catch (IOException e) {
        throw BandMap.scratchFailure(e);
      }
    }

    /** Fills {@code bands} with the spectra of a block. */
    void read(long block, float[][] bands) throws MediaException {
      bytes.clear();
      try {
        long position = block * BLOCK_BYTES;
        while (bytes.hasRemaining()) {
          int got = channel.read(bytes, position);
          if (got < 0) {
            throw new IOException("the file is too short");
          }
          position += got;
        }
      } catch (IOException e) {
        throw BandMap.scratchFailure(e);
      }
      bytes.flip();
      for (float[] band : bands) {
        bytes.asFloatBuffer().get(band);
        bytes.position(bytes.position() + SIZE * Float.BYTES);
      }
    }

    @Override
    public void close() throws MediaException {
      try {
        channel.close();
      } catch (IOException e) {
        throw BandMap.scratchFailure(e);
      }
    }
  }

  /**
   * Bands of a stretch, levelled to unit power, padded with zeros to {@code size}.
   *
   * @param startFrame first of our frames, may be negative
   * @param count how many
   */
  static float[][] bands(BandMap map, long startFrame, int count, int size) throws MediaException {
    int margin = HALF_FLOOR_FRAMES + HALF_MEAN_FRAMES;
    int all = count + 2 * margin;
    byte[] values = map.read((startFrame - margin) * MAP_FRAMES, all * MAP_FRAMES);
    int firstInside = (int) Math.max(0, Math.min(count, -startFrame));
    int endInside = (int) Math.max(firstInside, Math.min(count, frames(map) - startFrame));
    float[][] bands = new float[BANDS][size];
    if (firstInside == endInside) {
      return bands;
    }
    float[] power = new float[all];
    double[] sums = new double[all + 1];
    for (int band = 0; band < BANDS; band++) {
      for (int i = 0; i < all; i++) {
        int at = i * MAP_FRAMES * BANDS + band;
        float sum = 0;
        for (int k = 0; k < MAP_FRAMES; k++) {
          sum += POWERS[values[at + k * BANDS] + 128];
        }
        power[i] = sum;
        sums[i + 1] = sums[i] + sum;
      }
      double least = LEAST_FLOOR * sums[all] / all + Double.MIN_NORMAL;
      float[] above = new float[all];
      for (int i = HALF_FLOOR_FRAMES; i < all - HALF_FLOOR_FRAMES; i++) {
        double around = sums[i + HALF_FLOOR_FRAMES + 1] - sums[i - HALF_FLOOR_FRAMES];
        double floor = Math.max(around / (2 * HALF_FLOOR_FRAMES + 1), least);
        above[i] = (float) Math.log1p(OVER_FLOOR * power[i] / floor);
      }
      level(above, margin, firstInside, endInside, bands[band]);
    }
    return bands;
  }

  /** Takes the running mean away and brings what lies inside to unit power. */
  private static void level(float[] above, int margin, int from, int to, float[] out) {
    double running = 0;
    for (int i = margin + from - HALF_MEAN_FRAMES; i < margin + from + HALF_MEAN_FRAMES; i++) {
      running += above[i];
    }
    double power = 0;
    for (int frame = from; frame < to; frame++) {
      running += above[margin + frame + HALF_MEAN_FRAMES];
      float x = (float) (above[margin + frame] - running / (2 * HALF_MEAN_FRAMES + 1));
      running -= above[margin + frame - HALF_MEAN_FRAMES];
      out[frame] = x;
      power += x * x;
    }
    if (power > 0) {
      float scale = (float) (1 / Math.sqrt(power / (to - from)));
      for (int frame = from; frame < to; frame++) {
        out[frame] *= scale;
      }
    }
  }

  private static float[] powers() {
    float[] powers = new float[256];
    for (int i = 0; i < powers.length; i++) {
      powers[i] = (float) Math.pow(10, BandEnergies.decibels((byte) (i - 128)) / 10);
    }
    return powers;
  }
}
