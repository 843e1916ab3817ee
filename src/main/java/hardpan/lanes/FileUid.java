package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.Umid;
import hardpan.wave.WaveHeader;
import java.nio.file.Path;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** The identifier that a recording carries in itself. */
public final class FileUid {
  private FileUid() {}

  /**
   * The FILE_UID of its iXML chunk (iXML 3.01), else the UMID of its {@code bext} chunk (EBU Tech
   * 3285) in hexadecimal; null if it has neither, is no Wave file or cannot be read.
   */
  public static @Nullable String of(Path file) {
    String name = file.toString().toLowerCase(Locale.ROOT);
    if (!name.endsWith(".wav") && !name.endsWith(".bwf") && !name.endsWith(".rf64")) {
      return null;
    }
    try {
      WaveHeader header = WaveHeader.read(file);
      String uid = header.ixmlDocument().fileUid();
      BroadcastExtension bext = header.bext();
      Umid umid = bext == null ? null : bext.umid();
      return !uid.isBlank() ? uid : umid == null ? null : umid.toString();
    } catch (MediaException e) {
      // A damaged header names nothing.
      return null;
    }
  }
}
