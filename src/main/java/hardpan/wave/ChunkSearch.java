package hardpan.wave;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Set;

/**
 * Finds the two chunks that matter where the way to them is broken, by looking at every byte of the
 * beginning of the file.
 */
final class ChunkSearch {
  /** Recorders keep everything before the sound within this. Our own bound. */
  private static final int SEARCHED_BYTES = 4 << 20;

  private static final int SMALLEST_FORMAT = 16;
  private static final int LARGEST_FORMAT = 64;

  /** RIFF files of other kinds than Wave that cameras and computers write. */
  private static final Set<String> OTHER_KINDS =
      Set.of("AVI ", "AVIX", "RMID", "ACON", "CDXA", "WEBP", "sfbk", "DLS ", "PAL ", "RDIB");

  private ChunkSearch() {}

  /** Whether the word after the first size names another kind of RIFF file. */
  static boolean isOtherRiffKind(String inner) {
    return OTHER_KINDS.contains(inner);
  }

  /** Where a format chunk with believable content begins; -1 if nowhere. */
  static long format(FileBytes file) throws IOException {
    ByteBuffer bytes = beginning(file);
    for (int at = 12; at + 8 + SMALLEST_FORMAT <= bytes.limit(); at++) {
      if (hasId(bytes, at, "fmt ") && believable(bytes, at + 4)) {
        return at;
      }
    }
    return -1;
  }

  private static boolean believable(ByteBuffer bytes, int at) {
    int size = bytes.getInt(at);
    int tag = bytes.getShort(at + 4) & 0xFFFF;
    int channels = bytes.getShort(at + 6) & 0xFFFF;
    return size >= SMALLEST_FORMAT
        && size <= LARGEST_FORMAT
        && size <= bytes.limit() - at - 4
        && (tag == FormatChunk.TAG_INTEGER
            || tag == FormatChunk.TAG_FLOAT
            || tag == FormatChunk.TAG_EXTENSIBLE)
        && channels >= 1
        && channels <= WaveFormat.MAX_CHANNELS;
  }

  /** Where the first data chunk after a place begins; -1 if nowhere. */
  static long data(FileBytes file, long after) throws IOException {
    ByteBuffer bytes = beginning(file);
    for (int at = (int) Math.min(bytes.limit(), after); at + 8 <= bytes.limit(); at++) {
      if (hasId(bytes, at, "data")) {
        return at;
      }
    }
    return -1;
  }

  private static ByteBuffer beginning(FileBytes file) throws IOException {
    return file.at(0, (int) Math.min(file.size(), SEARCHED_BYTES));
  }

  private static boolean hasId(ByteBuffer bytes, int at, String id) {
    return matching(bytes, at, id) == 4;
  }

  /** Whether at least three of four bytes are those of an id. */
  static boolean resembles(ByteBuffer head, String id) {
    return matching(head, head.position(), id) >= 3;
  }

  private static int matching(ByteBuffer bytes, int at, String id) {
    byte[] wanted = id.getBytes(StandardCharsets.US_ASCII);
    int same = 0;
    for (int i = 0; i < 4; i++) {
      same += bytes.get(at + i) == wanted[i] ? 1 : 0;
    }
    return same;
  }
}
