package hardpan.shoot;

import hardpan.lanes.ParentFile;
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

  /** What lanes take over; with an empty identifier if the file cannot be read. */
  static ParentFile of(Path file) {
    ParentFile own = ParentFile.of(file);
    return own.uid().isEmpty() ? own.withUid(derived(file)) : own;
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
