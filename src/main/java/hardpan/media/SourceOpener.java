package hardpan.media;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** The one way from a path to a {@link SourceReader}. */
public final class SourceOpener {
  /** What Wave files begin with and no other file does at this place. */
  private static final Set<String> WAVE_FIRST_CHUNKS = Set.of("fmt ", "bext", "ds64", "iXML");

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
   * Opens a source, read-only. What a file is, is told from its first bytes, not from its name.
   *
   * @throws MediaAccessException missing, a folder, no permission, disk failure
   * @throws hardpan.base.MalformedMediaException empty, damaged, cut short, not media
   * @throws UnsupportedMediaException no sound, or a format this reader lacks
   */
  public static SourceReader open(Path file, ReaderChoice choice) throws MediaException {
    MediaNames.checkReadable(file);
    boolean libraries = choice != ReaderChoice.FALLBACK && FfmpegLibraries.available();
    if (isWave(file)) {
      try {
        return WaveSourceReader.open(file);
      } catch (UnsupportedMediaException e) {
        // Compressed sound in a Wave file is for the libraries, where there are any.
        if (!libraries) {
          throw e;
        }
        return FfmpegReader.open(file);
      }
    }
    if (libraries || choice == ReaderChoice.NATIVE) {
      SourceReader rescued = rescued(file);
      return rescued != null
          ? rescued
          : NotedReader.of(FfmpegReader.open(file), CutShort.oddities(file));
    }
    SourceReader plain = PlainSourceReader.openIfPlain(file);
    return plain != null ? plain : NotedReader.of(JcodecReader.open(file), CutShort.oddities(file));
  }

  /** Our own reader for a file that the libraries would stop in; null for a whole one. */
  private static @Nullable SourceReader rescued(Path file) throws MediaAccessException {
    try {
      SourceReader plain = PlainSourceReader.openIfPlain(file);
      if (plain != null && plain.oddities().isEmpty()) {
        plain.close();
        plain = null;
      }
      return plain;
    } catch (MediaAccessException e) {
      throw e;
    } catch (MediaException e) {
      // The libraries may still find something.
      return null;
    }
  }

  /** Whether the first bytes are a Wave file's; one of the two words may be damaged. */
  private static boolean isWave(Path file) throws MediaAccessException {
    try (InputStream in = Files.newInputStream(file)) {
      String head = new String(in.readNBytes(16), StandardCharsets.ISO_8859_1);
      if (head.length() < 12 || head.startsWith("RIFX")) {
        return false;
      }
      boolean outer = head.startsWith("RIFF") || head.startsWith("RF64") || head.startsWith("BW64");
      boolean inner = head.startsWith("WAVE", 8);
      boolean chunk = WAVE_FIRST_CHUNKS.contains(head.substring(12));
      return outer ? inner || chunk : inner && chunk;
    } catch (IOException e) {
      throw new MediaAccessException(file.getFileName() + " cannot be read.", e);
    }
  }
}
