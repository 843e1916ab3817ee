package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;

/**
 * The native FFmpeg libraries as a whole: whether they load here, and the few conversions every
 * {@code Ffmpeg...} class needs.
 *
 * <p>The first call loads the libraries and silences their log. When they cannot be loaded (no
 * build for this machine, a temporary folder without execute permission), {@link #available()} is
 * false and nothing else of this class may be called; no {@link Error} escapes.
 */
public final class FfmpegLibraries {
  /** Why loading failed, or an empty text when the libraries are there. */
  private static final String FAILURE = load();

  private FfmpegLibraries() {}

  /** Whether the native libraries could be loaded in this process. */
  public static boolean available() {
    return FAILURE.isEmpty();
  }

  /** What went wrong while loading, for a log or the report; empty if nothing did. */
  public static String failure() {
    return FAILURE;
  }

  /** One line naming the version and licence of the libraries; empty if they are not there. */
  public static String version() {
    if (!available()) {
      return "";
    }
    return "FFmpeg "
        + avutil.av_version_info().getString(StandardCharsets.UTF_8)
        + ", "
        + avcodec.avcodec_license().getString(StandardCharsets.UTF_8);
  }

  /** Throws the one sentence for machines without the libraries. */
  static void require() throws UnsupportedMediaException {
    if (!available()) {
      throw new UnsupportedMediaException(
          "The FFmpeg libraries, which this needs, do not load on this computer.");
    }
  }

  private static String load() {
    try {
      avutil.av_log_set_level(avutil.AV_LOG_QUIET);
      avcodec.avcodec_version();
      avformat.avformat_version();
      return "";
    } catch (LinkageError | RuntimeException e) {
      String message = e.getMessage();
      return message == null || message.isBlank() ? e.getClass().getSimpleName() : message;
    }
  }

  /**
   * The path as the libraries want it: absolute, behind {@code file:} so that a colon in a name is
   * not taken for a protocol, in UTF-8 or, on Unix, in the very bytes the file system uses, which
   * no locale setting of the virtual machine can change. The caller closes the result.
   */
  static BytePointer url(Path path) {
    Path absolute = path.toAbsolutePath();
    byte[] name =
        absolute.getFileSystem().getSeparator().equals("/")
            ? percentDecoded(absolute.toUri().getRawPath())
            : absolute.toString().getBytes(StandardCharsets.UTF_8);
    byte[] prefix = "file:".getBytes(StandardCharsets.US_ASCII);
    byte[] all = new byte[prefix.length + name.length + 1];
    System.arraycopy(prefix, 0, all, 0, prefix.length);
    System.arraycopy(name, 0, all, prefix.length, name.length);
    return new BytePointer(all);
  }

  private static byte[] percentDecoded(String rawPath) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(rawPath.length());
    for (int i = 0; i < rawPath.length(); i++) {
      char c = rawPath.charAt(i);
      if (c == '%') {
        bytes.write(Integer.parseInt(rawPath.substring(i + 1, i + 3), 16));
        i += 2;
      } else {
        bytes.write(c);
      }
    }
    return bytes.toByteArray();
  }

  /** Sets one entry of a dictionary; the text goes through as UTF-8. */
  static void put(AVDictionary dictionary, String key, String value) {
    try (BytePointer nativeKey = new BytePointer(key, StandardCharsets.UTF_8);
        BytePointer nativeValue = new BytePointer(value, StandardCharsets.UTF_8)) {
      avutil.av_dict_set(dictionary, nativeKey, nativeValue, 0);
    }
  }

  /** Fresh native memory for a fraction; the caller closes it. */
  static AVRational rational(int numerator, int denominator) {
    return new AVRational().num(numerator).den(denominator);
  }

  /** What the libraries say about an error code. */
  static String errorText(int code) {
    byte[] text = new byte[256];
    avutil.av_strerror(code, text, text.length);
    int length = 0;
    while (length < text.length && text[length] != 0) {
      length++;
    }
    return new String(text, 0, length, StandardCharsets.UTF_8);
  }

  /** The typed error for a failed call on a file that is being written. */
  static MediaException writeFailure(Path file, int code) {
    if (code == avutil.AVERROR_ENCODER_NOT_FOUND || code == avutil.AVERROR_MUXER_NOT_FOUND) {
      return new UnsupportedMediaException(
          "The FFmpeg libraries on this computer cannot write " + file.getFileName() + ".");
    }
    if (code == avutil.AVERROR_INVALIDDATA) {
      return new MalformedMediaException(
          "The sound for " + file.getFileName() + " could not be encoded.");
    }
    return new MediaAccessException(
        "Writing " + file.getFileName() + " failed: " + errorText(code) + ".");
  }
}
