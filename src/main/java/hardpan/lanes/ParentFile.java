package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.RawChunk;
import hardpan.wave.Umid;
import hardpan.wave.UnknownChunks;
import hardpan.wave.WaveHeader;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;

/**
 * What the lanes of a source take over from its file.
 *
 * @param uid its identifier, or empty
 * @param chunks chunks that mean nothing to us
 */
public record ParentFile(String uid, List<RawChunk> chunks) {
  /** Nothing. */
  public static final ParentFile NONE = new ParentFile("", List.of());

  /** Copies the list. */
  public ParentFile {
    chunks = List.copyOf(chunks);
  }

  /**
   * Looks into a Wave file: the FILE_UID of its iXML chunk (iXML 3.01), else the UMID of its {@code
   * bext} chunk (EBU Tech 3285) in hexadecimal, and its unknown chunks. {@link #NONE} for other
   * files and for those that cannot be read.
   */
  public static ParentFile of(Path file) {
    String name = file.toString().toLowerCase(Locale.ROOT);
    if (!name.endsWith(".wav") && !name.endsWith(".bwf") && !name.endsWith(".rf64")) {
      return NONE;
    }
    try {
      WaveHeader header = WaveHeader.read(file);
      String uid = header.ixmlDocument().fileUid();
      BroadcastExtension bext = header.bext();
      Umid umid = bext == null ? null : bext.umid();
      return new ParentFile(
          !uid.isBlank() ? uid : umid == null ? "" : umid.toString(),
          UnknownChunks.of(file, header));
    } catch (MediaException e) {
      // A damaged header names nothing.
      return NONE;
    }
  }

  /** The same with an identifier. */
  public ParentFile withUid(String other) {
    return new ParentFile(other, chunks);
  }
}
