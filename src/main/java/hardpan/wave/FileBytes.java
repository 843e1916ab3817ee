package hardpan.wave;

import hardpan.base.MediaAccessException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.SeekableByteChannel;

/** Pieces of a file by position, little-endian, and how long the file is. */
final class FileBytes {
  private final SeekableByteChannel channel;
  private final String name;
  private final long size;

  FileBytes(SeekableByteChannel channel, String name) throws IOException {
    this.channel = channel;
    this.name = name;
    this.size = channel.size();
  }

  /** Bytes in the file. */
  long size() {
    return size;
  }

  /**
   * Reads a piece.
   *
   * @param length bounded by the caller
   * @throws MediaAccessException if the file is shorter than that by now
   */
  ByteBuffer at(long offset, int length) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    channel.position(offset);
    while (bytes.hasRemaining()) {
      if (channel.read(bytes) < 0) {
        throw new MediaAccessException(name + " became shorter while it was read.");
      }
    }
    return bytes.flip();
  }

  /** Whether the next four bytes could be a chunk's id: printable ASCII. Moves nothing. */
  static boolean isId(ByteBuffer bytes) {
    for (int i = 0; i < 4; i++) {
      byte b = bytes.get(bytes.position() + i);
      if (b < 0x20 || b > 0x7E) {
        return false;
      }
    }
    return true;
  }
}
