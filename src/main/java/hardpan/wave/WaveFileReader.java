package hardpan.wave;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.Path;

/**
 * Reads the samples of one Wave file by frame position. The file is opened for reading only. Going
 * back costs no more than going forward. Not safe for use by several threads at once.
 */
public final class WaveFileReader implements AutoCloseable {
  private static final int BUFFER_BYTES = 1 << 18;

  private final SeekableByteChannel channel;
  private final String name;
  private final WaveHeader header;
  private final byte[] bytes;

  private WaveFileReader(SeekableByteChannel channel, String name, WaveHeader header) {
    this.channel = channel;
    this.name = name;
    this.header = header;
    int frame = header.format().bytesPerFrame();
    long frames = Math.max(1, Math.min(header.frameCount(), BUFFER_BYTES / frame));
    this.bytes = new byte[frame * (int) frames];
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
    int wanted = checkedCount(startFrame, planar.length, frameCount);
    WaveFormat format = header.format();
    for (int done = 0; done < wanted; ) {
      int frames = load(startFrame + done, wanted - done);
      SampleCodec.toFloats(bytes, format, planar, done, frames);
      done += frames;
    }
    return wanted;
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
    WaveFormat format = header.format();
    if (format.coding() == WaveFormat.Coding.FLOAT) {
      throw new UnsupportedOperationException(name + " holds floats");
    }
    int wanted = checkedCount(startFrame, planar.length, frameCount);
    for (int done = 0; done < wanted; ) {
      int frames = load(startFrame + done, wanted - done);
      SampleCodec.toIntegers(bytes, format, planar, done, frames);
      done += frames;
    }
    return wanted;
  }

  private int checkedCount(long startFrame, int arrays, int frameCount) {
    if (startFrame < 0 || frameCount < 1 || arrays < header.format().channelCount()) {
      throw new IllegalArgumentException(
          frameCount + " frames from " + startFrame + " into " + arrays + " arrays");
    }
    return (int) Math.max(0, Math.min(frameCount, header.frameCount() - startFrame));
  }

  /** Fills the buffer; returns the frames in it. */
  private int load(long startFrame, int wanted) throws MediaException {
    int frameBytes = header.format().bytesPerFrame();
    int frames = Math.min(wanted, bytes.length / frameBytes);
    ByteBuffer target = ByteBuffer.wrap(bytes, 0, frames * frameBytes);
    try {
      channel.position(header.dataOffset() + startFrame * frameBytes);
      while (target.hasRemaining()) {
        if (channel.read(target) < 0) {
          throw new MediaAccessException(name + " became shorter while it was read.");
        }
      }
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(name + " cannot be read on: " + e.getMessage(), e);
    }
    return frames;
  }

  /** Closes the file. A failure to close a file that was only read loses nothing. */
  @Override
  public void close() {
    try {
      channel.close();
    } catch (IOException e) {
      // Nothing was written, so nothing can be lost.
    }
  }
}
