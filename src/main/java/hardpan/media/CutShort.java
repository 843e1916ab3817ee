package hardpan.media;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Tells from the outermost sizes of a file that its end is missing, or that its recorder never
 * finished it, where the sound that is there can still be read. One sentence at most.
 *
 * <p>Layouts: ISO/IEC 14496-12, section 4.2 (MOV, MP4); RFC 8794 and RFC 9559 (Matroska); SMPTE ST
 * 377-1, section 7 (MXF partitions); Multimedia Programming Interface and Data Specifications 1.0
 * (AVI); ISO/IEC 13818-1, section 2.4.3 (transport streams, whose packets are 188 bytes, or 192
 * with the time stamps of disc and card recordings).
 */
final class CutShort {
  private static final int MAX_BOXES = 100_000;
  private static final long EBML = 0x1A45_DFA3L;
  private static final long SEGMENT = 0x1853_8067L;

  /** Where the sync byte of a transport stream recurs. */
  private static final int[] PACKET_BYTES = {188, 192, 204};

  /** The first 13 bytes of a header partition's key, after which comes its kind and status. */
  private static final byte[] MXF_PARTITION = {6, 0x0E, 0x2B, 0x34, 2, 5, 1, 1, 0x0D, 1, 2, 1, 1};

  private static final int MXF_HEADER = 2;
  private static final int MXF_FOOTER = 4;

  private CutShort() {}

  /** The sentence, or none where nothing is missing or nothing can be known. */
  static List<String> oddities(Path file) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      String found = missing(channel);
      return found == null ? List.of() : List.of(found);
    } catch (IOException e) {
      return List.of();
    }
  }

  private static @Nullable String missing(FileChannel channel) throws IOException {
    ByteBuffer head = at(channel, 0, 64);
    if (head.limit() < 64) {
      return null;
    }
    String first = text(head, 0);
    if (first.equals("RIFF") && text(head, 8).equals("AVI ")) {
      return avi(channel);
    }
    if ((head.getInt(0) & 0xFFFF_FFFFL) == EBML) {
      return matroska(channel, head);
    }
    if (head.slice(0, MXF_PARTITION.length).equals(ByteBuffer.wrap(MXF_PARTITION))) {
      return mxf(channel, head);
    }
    if (IsoTopLevel.isFirstType(text(head, 4))) {
      return iso(channel);
    }
    return transportStream(channel, head);
  }

  private static String endMissing(long missingBytes) {
    return "The file is cut short: "
        + missingBytes
        + " bytes at its end are missing; it is read as far as it goes.";
  }

  private static final String NEVER_FINISHED =
      "The file was never finished by the camera; it is read as far as it goes.";

  private static @Nullable String iso(FileChannel channel) throws IOException {
    long at = 0;
    for (int i = 0; i < MAX_BOXES; i++) {
      IsoTopLevel.Header box = IsoTopLevel.header(channel, at);
      if (box == null) {
        // A few bytes behind the last box are met in whole files too.
        return null;
      }
      if (box.end() > channel.size()) {
        return endMissing(box.end() - channel.size());
      }
      at = box.end();
    }
    return null;
  }

  /** Past 1 or 2 GiB an AVI file goes on in further RIFF lists. */
  private static @Nullable String avi(FileChannel channel) throws IOException {
    long at = 0;
    while (channel.size() - at >= 12) {
      ByteBuffer list = at(channel, at, 12).order(ByteOrder.LITTLE_ENDIAN);
      if (!text(list, 0).equals("RIFF")) {
        return null;
      }
      long size = list.getInt(4) & 0xFFFF_FFFFL;
      if (size == 0) {
        return NEVER_FINISHED;
      }
      long end = at + 8 + size;
      if (end > channel.size()) {
        return endMissing(end - channel.size());
      }
      at = end + size % 2;
    }
    return null;
  }

  private static @Nullable String matroska(FileChannel channel, ByteBuffer head)
      throws IOException {
    int sizeBytes = vintBytes(head.get(4));
    long headerSize = vint(head, 4);
    if (sizeBytes == 0 || headerSize < 0 || headerSize > 4096) {
      return null;
    }
    long at = 4 + sizeBytes + headerSize;
    ByteBuffer segment = at(channel, at, 12);
    if (segment.limit() < 12 || (segment.getInt(0) & 0xFFFF_FFFFL) != SEGMENT) {
      return null;
    }
    int bytes = vintBytes(segment.get(4));
    long size = vint(segment, 4);
    if (bytes == 0) {
      return null;
    }
    if (size < 0) {
      return NEVER_FINISHED;
    }
    long end = at + 4 + bytes + size;
    return end > channel.size() ? endMissing(end - channel.size()) : null;
  }

  private static int vintBytes(byte first) {
    int zeros = Integer.numberOfLeadingZeros(first & 0xFF) - 24;
    return zeros > 7 ? 0 : zeros + 1;
  }

  /** A variable-length size; -1 for all ones, which means unknown (RFC 8794, section 6.2). */
  private static long vint(ByteBuffer bytes, int at) {
    int length = vintBytes(bytes.get(at));
    long value = length == 0 ? 0 : bytes.get(at) & (0xFF >> length);
    for (int i = 1; i < length; i++) {
      value = value << 8 | (bytes.get(at + i) & 0xFF);
    }
    return length > 0 && value == (1L << (7 * length)) - 1 ? -1 : value;
  }

  /** A header partition names the place of the footer; 0 until the file is finished. */
  private static @Nullable String mxf(FileChannel channel, ByteBuffer head) throws IOException {
    if (head.get(13) != MXF_HEADER) {
      return null;
    }
    int lengthBytes = (head.get(16) & 0x80) == 0 ? 1 : 1 + (head.get(16) & 0x7F);
    if (lengthBytes > 9) {
      return null;
    }
    // Versions, KAG size, this and the previous partition come before it.
    ByteBuffer footer = at(channel, 16L + lengthBytes + 24, 8);
    if (footer.limit() < 8) {
      return null;
    }
    long place = footer.getLong(0);
    if (place == 0) {
      return (head.get(14) & 1) == 1 ? NEVER_FINISHED : null;
    }
    ByteBuffer key = place < 0 ? null : at(channel, place, 14);
    boolean there =
        key != null
            && key.limit() == 14
            && key.slice(0, MXF_PARTITION.length).equals(ByteBuffer.wrap(MXF_PARTITION))
            && key.get(13) == MXF_FOOTER;
    return there
        ? null
        : "The file is cut short: its end is missing; it is read as far as it goes.";
  }

  /** A stream says nothing of its length; only a packet that is cut shows. */
  private static @Nullable String transportStream(FileChannel channel, ByteBuffer head)
      throws IOException {
    for (int packet : PACKET_BYTES) {
      int sync = packet == 192 ? 4 : 0;
      ByteBuffer start = at(channel, 0, 3 * packet);
      boolean recurs = start.limit() == 3 * packet && head.get(sync) == 0x47;
      for (int i = 0; recurs && i < 3; i++) {
        recurs = start.get(i * packet + sync) == 0x47;
      }
      if (recurs) {
        return channel.size() % packet == 0
            ? null
            : "The file is cut short inside a packet; it is read as far as it goes.";
      }
    }
    return null;
  }

  private static ByteBuffer at(FileChannel channel, long offset, int length) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(length);
    int got = 1;
    while (bytes.hasRemaining() && got > 0) {
      got = channel.read(bytes, offset + bytes.position());
    }
    return bytes.flip();
  }

  private static String text(ByteBuffer bytes, int at) {
    byte[] four = new byte[4];
    bytes.get(at, four);
    return new String(four, StandardCharsets.ISO_8859_1);
  }
}
