package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What can be told of a file from its name and its directory entry, before it is opened. The lists
 * of endings are common practice, no source.
 */
final class MediaNames {
  /** Endings of what sound recorders and sound programs write. */
  private static final Set<String> RECORDING_ENDINGS =
      Set.of(
          "wav", "wave", "bwf", "rf64", "bw64", "w64", "aif", "aiff", "aifc", "caf", "flac", "mp3",
          "m4a", "aac", "ac3", "ogg", "oga", "opus", "wv", "mka", "mp2", "wma");

  /** Endings of what cameras and phones write. */
  private static final Set<String> CLIP_ENDINGS =
      Set.of(
          "mov", "qt", "mp4", "m4v", "3gp", "3g2", "mts", "m2ts", "m2t", "ts", "mpg", "mpeg", "mxf",
          "avi", "mkv", "webm", "dv", "wmv", "mod", "tod", "vob", "asf", "flv", "lrv", "lrf");

  /** Endings of pictures and of the thumbnails that cameras put beside their clips. */
  private static final Set<String> PICTURE_ENDINGS =
      Set.of(
          "thm", "jpg", "jpeg", "png", "gif", "bmp", "tif", "tiff", "heic", "heif", "webp", "dng",
          "cr2", "cr3", "nef", "arw", "raf", "rw2", "orf");

  /** Endings of what cameras and recorders write about a clip or a card, without sound in it. */
  private static final Set<String> SIDE_ENDINGS =
      Set.of(
          "xml", "xmp", "srt", "vtt", "cpi", "mpl", "bdm", "bdmv", "smi", "ppn", "inf", "ind",
          "cif", "idx", "bim", "moff", "modd", "tdt", "tid", "bnp", "int", "ifo", "bup", "edl",
          "log", "md5", "mhl");

  private MediaNames() {}

  /** The part behind the last dot, in lower case; empty if there is none. */
  static String ending(Path file) {
    Path last = file.getFileName();
    String name = last == null ? "" : last.toString();
    int dot = name.lastIndexOf('.');
    return dot < 0 ? "" : name.substring(dot + 1).toLowerCase(Locale.ROOT);
  }

  /** Whether the name is that of a clip or a recording. */
  static boolean isMedia(Path file) {
    String ending = ending(file);
    return RECORDING_ENDINGS.contains(ending) || CLIP_ENDINGS.contains(ending);
  }

  /** Whether the name is that of a picture or thumbnail. */
  static boolean isPicture(Path file) {
    return PICTURE_ENDINGS.contains(ending(file));
  }

  /** Whether the name is that of a file about another one. */
  static boolean isSideFile(Path file) {
    return SIDE_ENDINGS.contains(ending(file));
  }

  /**
   * A file is a recording if it has no picture and is named as sound recorders name theirs; a
   * camera's file without a picture is still a clip.
   */
  static SourceFacts.Kind kind(Path file, boolean hasPicture) {
    return !hasPicture && RECORDING_ENDINGS.contains(ending(file))
        ? SourceFacts.Kind.RECORDING
        : SourceFacts.Kind.CLIP;
  }

  /** What a file the libraries refuse seems to be by its first four bytes; null for nothing. */
  static @Nullable String kindFromFirstBytes(Path file) {
    try (InputStream in = Files.newInputStream(file)) {
      String first = new String(in.readNBytes(4), StandardCharsets.ISO_8859_1);
      return switch (first) {
        case "caff" -> "a Core Audio file";
        case "fLaC" -> "a FLAC file";
        case "OggS" -> "an Ogg file";
        case "FORM" -> "an AIFF file";
        case "riff" -> "a Wave64 file";
        case "RIFF", "RF64", "BW64" -> "an AVI or Wave file";
        case "\u001aE\u00df\u00a3" -> "a Matroska file";
        case "\u0006\u000e+4" -> "an MXF file";
        default -> null;
      };
    } catch (IOException e) {
      return null;
    }
  }

  /** Whether the disk gives out the first and the last bytes of a file. */
  static boolean endsCanBeRead(Path file) {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      ByteBuffer bytes = ByteBuffer.allocate(4096);
      channel.read(bytes, 0);
      channel.read(bytes.clear(), Math.max(0, channel.size() - bytes.capacity()));
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  /** Makes sure that there is a file with something in it that may be read. */
  static void checkReadable(Path file) throws MediaException {
    try {
      if (Files.isDirectory(file)) {
        throw new MediaAccessException(file.getFileName() + " is a folder, not a media file.");
      }
      long size = Files.size(file);
      if (!Files.isReadable(file)) {
        throw new MediaAccessException(
            "You have no permission to read " + file.getFileName() + ".");
      }
      if (size == 0) {
        throw new MalformedMediaException(
            file.getFileName() + " is empty: copy it again from the card.");
      }
    } catch (NoSuchFileException e) {
      throw new MediaAccessException("There is no file " + file + ".", e);
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(file.getFileName() + " cannot be read.", e);
    }
  }
}
