package hardpan.media;

import hardpan.base.MediaException;
import java.nio.file.Path;

/** The one way from a path to a {@link SourceReader}. */
public final class SourceOpener {
  private SourceOpener() {}

  /**
   * Opens a source with the best reader there is.
   *
   * @throws MediaException see {@link #open(Path, ReaderChoice)}
   */
  public static SourceReader open(Path file) throws MediaException {
    return open(file, ReaderChoice.BEST);
  }

  /**
   * Opens a source, read-only.
   *
   * @throws hardpan.base.MediaAccessException missing, a folder, no permission, disk failure
   * @throws hardpan.base.MalformedMediaException empty, damaged, cut short, not media
   * @throws hardpan.base.UnsupportedMediaException no sound, or a format this reader lacks
   */
  public static SourceReader open(Path file, ReaderChoice choice) throws MediaException {
    return FfmpegReader.open(file);
  }
}
