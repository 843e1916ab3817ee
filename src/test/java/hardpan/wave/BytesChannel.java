package hardpan.wave;

import java.nio.ByteBuffer;
import java.nio.channels.ClosedChannelException;
import java.nio.channels.NonWritableChannelException;
import java.nio.channels.SeekableByteChannel;

/** A read-only channel over an array, so that thousands of damaged files need no disk. */
final class BytesChannel implements SeekableByteChannel {
  private final byte[] bytes;
  private long position;
  private boolean open = true;

  BytesChannel(byte[] bytes) {
    this.bytes = bytes;
  }

  @Override
  public int read(ByteBuffer target) throws ClosedChannelException {
    if (!open) {
      throw new ClosedChannelException();
    }
    if (position >= bytes.length) {
      return -1;
    }
    int count = (int) Math.min(target.remaining(), bytes.length - position);
    target.put(bytes, (int) position, count);
    position += count;
    return count;
  }

  @Override
  public int write(ByteBuffer source) {
    throw new NonWritableChannelException();
  }

  @Override
  public long position() {
    return position;
  }

  @Override
  public SeekableByteChannel position(long newPosition) {
    if (newPosition < 0) {
      throw new IllegalArgumentException("position " + newPosition);
    }
    position = newPosition;
    return this;
  }

  @Override
  public long size() {
    return bytes.length;
  }

  @Override
  public SeekableByteChannel truncate(long size) {
    throw new NonWritableChannelException();
  }

  @Override
  public boolean isOpen() {
    return open;
  }

  @Override
  public void close() {
    open = false;
  }
}
