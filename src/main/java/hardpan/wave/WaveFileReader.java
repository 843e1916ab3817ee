package hardpan.wave;

import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.Path;

/**
 * Reads the samples of one Wave file by frame position. The file is opened for reading only. Going
 * back costs no more than going forward. Not safe for use by several threads at once.
 */
public final class WaveFileReader implements AutoCloseable {
  private final WaveHeader header;
  private final StoredSamples samples;

  private WaveFileReader(SeekableByteChannel channel, String name, WaveHeader header) {
    this.header = header;
    this.samples =
        new StoredSamples(
            channel,
            name,
            new StoredSamples.Place(
                header.format(), header.dataOffset(), header.frameCount(), false, false));
  }

  /**
   * Opens a file and reads its header.
   *
   * @throws MediaException as {@link WaveHeader#read(Path)}
   */
  public static WaveFileReader open(Path file) throws MediaException {
    return over(WaveHeader.openReadOnly(file), WaveHeader.nameOf(file));
  }

  /** Takes over an open channel; closes it if the header cannot be read. */
  static WaveFileReader over(SeekableByteChannel channel, String name) throws MediaException {
    try {
      return new WaveFileReader(channel, name, WaveHeader.read(channel, name));
    } catch (MediaException | RuntimeException e) {
      try {
        channel.close();
      } catch (IOException suppressed) {
        e.addSuppressed(suppressed);
      }
      throw e;
    }
  }

  /** What the file says apart from its samples. */
  public WaveHeader header() {
    return header;
  }

  /**
   * Reads a block as floats, full scale being 1.0. Whole numbers are divided by two to the power of
   * container bits less one, floats are passed on as they are, including values beyond full scale,
   * NaN and infinities.
   *
   * @param startFrame first wanted frame, at least 0; beyond the end is allowed and yields 0
   * @param planar one array a channel, each at least {@code frameCount} long
   * @param frameCount how many frames are wanted, at least 1
   * @return frames delivered; fewer than wanted only at the end of the file
   * @throws MediaException if the file cannot be read on
   */
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    return samples.readAt(startFrame, planar, frameCount);
  }

  /**
   * Reads a block as whole numbers, left-justified in 32 bits (a 16-bit sample s comes as s
   * &lt;&lt; 16), so that nothing is lost.
   *
   * @throws UnsupportedOperationException if the file holds floats
   * @throws MediaException if the file cannot be read on
   * @see #readAt
   */
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    return samples.readIntegersAt(startFrame, planar, frameCount);
  }

  /** Closes the file. A failure to close a file that was only read loses nothing. */
  @Override
  public void close() {
    samples.close();
  }
}
