package hardpan.wave;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** One sub-chunk of a {@code LIST} chunk: id and payload. Chunks themselves look the same. */
final class ListEntry {
  private static final int MAX_ENTRIES = 1 << 17;

  private final String id;
  private final byte[] payload;

  private ListEntry(String id, byte[] payload) {
    this.id = id;
    this.payload = payload;
  }

  String id() {
    return id;
  }

  int size() {
    return payload.length;
  }

  /** The unsigned 32-bit number at a place; 0 if the payload is too short. */
  long number(int at) {
    return payload.length < at + 4
        ? 0
        : Integer.toUnsignedLong(
            ByteBuffer.wrap(payload).order(ByteOrder.LITTLE_ENDIAN).getInt(at));
  }

  /** The zero-terminated text from a place on; empty if the payload is too short. */
  String text(int from) {
    return payload.length <= from
        ? ""
        : ChunkText.zeroTerminated(payload, from, payload.length - from);
  }

  /**
   * Splits a list's payload.
   *
   * @param list payload with the list's type in its first four bytes; fewer bytes give no entries
   */
  static List<ListEntry> read(byte[] list, List<String> oddities) {
    List<ListEntry> entries = new ArrayList<>();
    ByteBuffer in = ByteBuffer.wrap(list).order(ByteOrder.LITTLE_ENDIAN);
    in.position(Math.min(4, list.length));
    while (in.remaining() >= 8 && entries.size() < MAX_ENTRIES) {
      String id = ChunkText.id(in);
      long size = Integer.toUnsignedLong(in.getInt());
      if (size > in.remaining()) {
        oddities.add("An entry of a LIST chunk is longer than its list; the rest is not read.");
        break;
      }
      int from = in.position();
      int to = from + (int) size;
      entries.add(new ListEntry(id, Arrays.copyOfRange(list, from, to)));
      in.position(Math.min(list.length, to + (int) (size % 2)));
    }
    return entries;
  }

  /** A chunk with header and, after an odd payload, its pad byte. */
  static byte[] encode(String id, byte[] payload) {
    ByteBuffer out =
        ByteBuffer.allocate(8 + payload.length + payload.length % 2).order(ByteOrder.LITTLE_ENDIAN);
    ChunkText.putId(out, id);
    out.putInt(payload.length).put(payload);
    return out.array();
  }
}
