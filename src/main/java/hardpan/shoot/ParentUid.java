package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.Umid;
import hardpan.wave.WaveHeader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * The identifier of a source file, for the lanes made from it (iXML 3.01, HISTORY, PARENT_UID): the
 * file's own FILE_UID, else its UMID (EBU Tech 3285, {@code bext}). A camera's file has neither; it
 * gets a name-based one (RFC 4122, version 3) of its size and of three samples of its content, the
 * same in every hand-over of the same file.
 */
final class ParentUid {
  private ParentUid() {}

  /** The identifier, or an empty text if the file cannot be read. */
  static String of(Path file) {
    String own = own(file);
    return own == null ? derived(file) : own;
  }

  private static @Nullable String own(Path file) {
    if (!hasWaveHeader(file)) {
      return null;
    }
    try {
      WaveHeader header = WaveHeader.read(file);
      String uid = header.ixmlDocument().fileUid();
      BroadcastExtension bext = header.bext();
      Umid umid = bext == null ? null : bext.umid();
      return !uid.isBlank() ? uid : umid == null ? null : umid.toString();
    } catch (MediaException e) {
      // A damaged header names nothing; the content still does.
      return null;
    }
  }

  private static boolean hasWaveHeader(Path file) {
    String name = file.toString().toLowerCase(Locale.ROOT);
    return name.endsWith(".wav") || name.endsWith(".bwf") || name.endsWith(".rf64");
  }

  private static String derived(Path file) {
    SourceMark mark = SourceMark.of(file);
    if (mark == null) {
      return "";
    }
    String content = mark.size() + "|" + mark.sample();
    return UUID.nameUUIDFromBytes(content.getBytes(StandardCharsets.US_ASCII))
        .toString()
        .replace("-", "");
  }
}
