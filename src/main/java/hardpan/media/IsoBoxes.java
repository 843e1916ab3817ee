package hardpan.media;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Boxes inside a piece of a MOV or MP4 file that is in memory (ISO/IEC 14496-12, section 4.2).
 * Nothing is copied; a box that does not fit into its parent ends the list.
 */
final class IsoBoxes {
  private static final int MAX_CHILDREN = 100_000;

  private IsoBoxes() {}

  /** One box. The content is a view, its position at 0, and may be read freely. */
  record Box(String type, ByteBuffer content) {}

  /** The boxes from the buffer's position to its limit. */
  static List<Box> children(ByteBuffer parent) {
    ByteBuffer in = parent.duplicate();
    List<Box> boxes = new ArrayList<>();
    while (in.remaining() >= 8 && boxes.size() < MAX_CHILDREN) {
      int start = in.position();
      long size = in.getInt() & 0xFFFF_FFFFL;
      byte[] type = new byte[4];
      in.get(type);
      if (size == 1 && in.remaining() >= 8) {
        size = in.getLong();
      } else if (size == 0) {
        size = (long) in.limit() - start;
      }
      long end = start + size;
      if (size < in.position() - start || end < 0 || end > in.limit()) {
        break;
      }
      ByteBuffer content = in.duplicate();
      content.limit((int) end);
      boxes.add(new Box(new String(type, StandardCharsets.ISO_8859_1), content.slice()));
      in.position((int) end);
    }
    return boxes;
  }

  /** The first child of a type, as a fresh view; null if there is none. */
  static @Nullable ByteBuffer child(ByteBuffer parent, String type) {
    for (Box box : children(parent)) {
      if (box.type().equals(type)) {
        return box.content();
      }
    }
    return null;
  }

  /** A box further down; null if any step is missing. */
  static @Nullable ByteBuffer descendant(ByteBuffer parent, String... types) {
    ByteBuffer at = parent;
    for (String type : types) {
      ByteBuffer next = child(at, type);
      if (next == null) {
        return null;
      }
      at = next;
    }
    return at;
  }

  /** An unsigned 32-bit number; 0 beyond the end. */
  static long unsigned32(ByteBuffer box, int at) {
    return at >= 0 && at <= box.limit() - 4 ? box.getInt(at) & 0xFFFF_FFFFL : 0;
  }

  /** An unsigned 16-bit number; 0 beyond the end. */
  static int unsigned16(ByteBuffer box, int at) {
    return at >= 0 && at <= box.limit() - 2 ? box.getShort(at) & 0xFFFF : 0;
  }

  /** An unsigned byte; 0 beyond the end. */
  static int unsigned8(ByteBuffer box, int at) {
    return at >= 0 && at < box.limit() ? box.get(at) & 0xFF : 0;
  }

  /** A 64-bit number; 0 beyond the end. */
  static long number64(ByteBuffer box, int at) {
    return at >= 0 && at <= box.limit() - 8 ? box.getLong(at) : 0;
  }

  /** Four characters; empty beyond the end. */
  static String type(ByteBuffer box, int at) {
    if (at < 0 || at > box.limit() - 4) {
      return "";
    }
    byte[] bytes = new byte[4];
    box.get(at, bytes);
    return new String(bytes, StandardCharsets.ISO_8859_1);
  }
}
