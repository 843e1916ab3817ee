package hardpan.media;

import hardpan.base.MediaException;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveHeader;
import java.nio.file.Path;

/** The set of files that a Wave file says it belongs to (iXML specification, FILE_SET). */
public final class FileFamily {
  private FileFamily() {}

  /** The family's identifier; empty if the file names none or cannot be read as Wave. */
  public static String of(Path file) {
    try {
      IxmlDocument.FileSet set = WaveHeader.read(file).ixmlDocument().fileSet();
      return set == null ? "" : set.familyUid();
    } catch (MediaException e) {
      return "";
    }
  }
}
