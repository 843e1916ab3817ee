package hardpan.media;

import hardpan.base.MalformedMediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The outermost boxes of a MOV or MP4 file, just enough to tell an unfinished file from a damaged
 * one. Box layout: ISO/IEC 14496-12, section 4.2; the older types: QuickTime File Format
 * Specification, "Atoms".
 */
final class IsoTopLevel {
  private static final int MAX_BOXES = 100_000;
  private static final Set<String> FIRST_TYPES =
      Set.of("ftyp", "moov", "mdat", "wide", "free", "skip", "pnot", "styp", "moof", "uuid");

  private IsoTopLevel() {}

  /** Whether the first box has one of the types such files begin with. */
  static boolean startsLikeMovie(Path file) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      Header first = header(channel, 0);
      return first != null && isFirstType(first.type());
    } catch (IOException e) {
      return false;
    }
  }

  /** Whether a type is one of those such files begin with. */
  static boolean isFirstType(String type) {
    return FIRST_TYPES.contains(type);
  }

  /** Whether a {@code moov} box begins somewhere on the outermost level. */
  static boolean hasMovieBox(Path file) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      long at = 0;
      for (int i = 0; i < MAX_BOXES; i++) {
        Header box = header(channel, at);
        if (box == null) {
          return false;
        }
        if (box.type().equals("moov")) {
          return true;
        }
        if (box.end() <= at) {
          return false;
        }
        at = box.end();
      }
      return false;
    } catch (IOException e) {
      return false;
    }
  }

  /** The sentence for a file whose index was never written. */
  static MalformedMediaException unfinished(Path file) {
    return new MalformedMediaException(
        file.getFileName()
            + " was never finished by the camera, or its end is missing: its index is not there;"
            + " put the card back into the camera, which can often finish the file itself, or copy"
            + " it again; for a repair keep it as it is, together with a finished file of the same"
            + " camera and settings.");
  }

  /** A box's type, where its content begins and where it ends; null past the end of the file. */
  record Header(String type, long contentStart, long end) {}

  @Nullable
  static Header header(FileChannel channel, long at) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(16);
    int got = 1;
    while (bytes.hasRemaining() && got > 0) {
      got = channel.read(bytes, at + bytes.position());
    }
    bytes.flip();
    if (bytes.remaining() < 8) {
      return null;
    }
    long size = bytes.getInt() & 0xFFFF_FFFFL;
    byte[] type = new byte[4];
    bytes.get(type);
    int headerSize = 8;
    if (size == 1) {
      if (bytes.remaining() < 8) {
        return null;
      }
      size = bytes.getLong();
      headerSize = 16;
    } else if (size == 0) {
      size = channel.size() - at;
    }
    if (size < headerSize || size > Long.MAX_VALUE - at) {
      return null;
    }
    return new Header(new String(type, StandardCharsets.ISO_8859_1), at + headerSize, at + size);
  }
}
