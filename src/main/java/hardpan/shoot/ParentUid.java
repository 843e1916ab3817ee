package hardpan.shoot;

import hardpan.lanes.FileUid;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.UUID;

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
    String own = FileUid.of(file);
    return own == null ? derived(file) : own;
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
