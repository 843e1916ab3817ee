package hardpan.wave;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * Reads the uncompressed samples of an AIFF, AIFF-C, Core Audio or Wave64 file by frame position,
 * finished or not. The file is opened for reading only. Not safe for use by several threads at
 * once.
 */
public final class PlainSoundReader implements AutoCloseable {
  private final PlainSoundHeader header;
  private final StoredSamples samples;

  private PlainSoundReader(PlainSoundHeader header, StoredSamples samples) {
    this.header = header;
    this.samples = samples;
  }

  /**
   * Opens a file.
   *
   * @return null if the file is of another kind, or its sound is compressed
   * @throws MediaException malformed if its format or its sound is missing; access if it cannot be
   *     read
   */
  public static @Nullable PlainSoundReader open(Path file) throws MediaException {
    return over(WaveHeader.openReadOnly(file), WaveHeader.nameOf(file));
  }

  /** Takes over an open channel; closes it unless a reader comes back. */
  static @Nullable PlainSoundReader over(SeekableByteChannel channel, String name)
      throws MediaException {
    PlainSoundReader reader = null;
    try {
      PlainSoundHeader header = PlainSoundParser.read(new FileBytes(channel, name), name);
      if (header != null) {
        StoredSamples.Place place =
            new StoredSamples.Place(
                header.format(),
                header.dataOffset(),
                header.frameCount(),
                header.bigEndian(),
                header.signedBytes());
        reader = new PlainSoundReader(header, new StoredSamples(channel, name, place));
      }
      return reader;
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(name + " cannot be read: " + e.getMessage(), e);
    } finally {
      if (reader == null) {
        close(channel);
      }
    }
  }

  private static void close(SeekableByteChannel channel) {
    try {
      channel.close();
    } catch (IOException e) {
      // Nothing was written, so nothing can be lost.
    }
  }

  /** What the file says apart from its samples. */
  public PlainSoundHeader header() {
    return header;
  }

  /**
   * Reads a block as floats.
   *
   * @throws MediaException if the file cannot be read on
   * @see WaveFileReader#readAt
   */
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    return samples.readAt(startFrame, planar, frameCount);
  }

  /**
   * Reads a block as whole numbers, left-justified in 32 bits.
   *
   * @throws UnsupportedOperationException if the file holds floats
   * @throws MediaException if the file cannot be read on
   * @see WaveFileReader#readIntegersAt
   */
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    return samples.readIntegersAt(startFrame, planar, frameCount);
  }

  /** Closes the file. */
  @Override
  public void close() {
    samples.close();
  }
}
