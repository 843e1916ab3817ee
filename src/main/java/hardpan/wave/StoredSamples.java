package hardpan.wave;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SeekableByteChannel;

/**
 * Uncompressed samples that lie in one piece in a file, by frame position. Owns the channel. Not
 * safe for use by several threads at once.
 */
final class StoredSamples implements AutoCloseable {
  private static final int BUFFER_BYTES = 1 << 18;

  private final SeekableByteChannel channel;
  private final String name;
  private final Place place;
  private final byte[] bytes;

  /**
   * Where the samples lie and how.
   *
   * @param format how they are stored, as if they were a Wave file's
   * @param offset of the first, in bytes
   * @param frameCount whole frames that are in the file
   * @param bigEndian whether the bytes of a sample come the other way round
   * @param signedBytes whether 8-bit samples are two's complement, unlike a Wave file's
   */
  record Place(
      WaveFormat format, long offset, long frameCount, boolean bigEndian, boolean signedBytes) {}

  StoredSamples(SeekableByteChannel channel, String name, Place place) {
    this.channel = channel;
    this.name = name;
    this.place = place;
    int frame = place.format().bytesPerFrame();
    long frames = Math.max(1, Math.min(place.frameCount(), BUFFER_BYTES / frame));
    this.bytes = new byte[frame * (int) frames];
  }

  int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    int wanted = checkedCount(startFrame, planar.length, frameCount);
    for (int done = 0; done < wanted; ) {
      int frames = load(startFrame + done, wanted - done);
      SampleCodec.toFloats(bytes, place.format(), planar, done, frames);
      done += frames;
    }
    return wanted;
  }

  int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    if (place.format().coding() == WaveFormat.Coding.FLOAT) {
      throw new UnsupportedOperationException(name + " holds floats");
    }
    int wanted = checkedCount(startFrame, planar.length, frameCount);
    for (int done = 0; done < wanted; ) {
      int frames = load(startFrame + done, wanted - done);
      SampleCodec.toIntegers(bytes, place.format(), planar, done, frames);
      done += frames;
    }
    return wanted;
  }

  private int checkedCount(long startFrame, int arrays, int frameCount) {
    if (startFrame < 0 || frameCount < 1 || arrays < place.format().channelCount()) {
      throw new IllegalArgumentException(
          frameCount + " frames from " + startFrame + " into " + arrays + " arrays");
    }
    return (int) Math.max(0, Math.min(frameCount, place.frameCount() - startFrame));
  }

  /** Fills the buffer; returns the frames in it. */
  private int load(long startFrame, int wanted) throws MediaException {
    int frameBytes = place.format().bytesPerFrame();
    int frames = Math.min(wanted, bytes.length / frameBytes);
    ByteBuffer target = ByteBuffer.wrap(bytes, 0, frames * frameBytes);
    try {
      channel.position(place.offset() + startFrame * frameBytes);
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
    asInWave(frames * frameBytes);
    return frames;
  }

  /** Turns what was loaded into what a Wave file would hold. */
  private void asInWave(int length) {
    int width = place.format().bytesPerSample();
    if (width == 1 && place.signedBytes()) {
      for (int i = 0; i < length; i++) {
        bytes[i] ^= (byte) 0x80;
      }
    }
    if (place.bigEndian()) {
      for (int at = 0; at < length; at += width) {
        for (int low = at, high = at + width - 1; low < high; low++, high--) {
          byte swapped = bytes[low];
          bytes[low] = bytes[high];
          bytes[high] = swapped;
        }
      }
    }
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
