package hardpan.wave;

import java.util.zip.CRC32C;

/**
 * What a writer gave to the disk, so that it can be compared with what is there: everything around
 * the samples byte by byte, the samples by their checksum. Fed with the file's bytes from its
 * beginning. Not safe for use by several threads at once.
 */
public final class WrittenBytes {
  private final byte[] front;
  private final byte[] tail;
  private final long dataBytes;
  private final long dataSum;
  private final CRC32C found = new CRC32C();
  private long seen;
  private boolean same = true;

  WrittenBytes(byte[] front, long dataBytes, long dataSum, byte[] tail) {
    this.front = front;
    this.dataBytes = dataBytes;
    this.dataSum = dataSum;
    this.tail = tail;
  }

  /** Takes the next bytes of the file. */
  public void add(byte[] bytes, int count) {
    int done = 0;
    while (done < count) {
      long dataEnd = front.length + dataBytes;
      if (seen < front.length) {
        same &= bytes[done] == front[(int) seen];
        done++;
        seen++;
      } else if (seen < dataEnd) {
        int part = (int) Math.min(count - done, dataEnd - seen);
        found.update(bytes, done, part);
        done += part;
        seen += part;
      } else {
        long at = seen - dataEnd;
        same &= at < tail.length && bytes[done] == tail[(int) at];
        done++;
        seen++;
      }
    }
  }

  /** Whether all bytes were there and every one as it was written. */
  public boolean matches() {
    return same && seen == front.length + dataBytes + tail.length && found.getValue() == dataSum;
  }
}
