package hardpan.media;

import hardpan.base.MediaException;
import hardpan.signal.FrameRate;
import hardpan.signal.Timecode;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVDictionaryEntry;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.jspecify.annotations.Nullable;

/** How the picture of a clip is counted. */
public final class FfmpegPicture {
  private FfmpegPicture() {}

  /**
   * The frame rate of a file's first moving picture, and whether its own timecode counts
   * drop-frame, which the semicolon in it says (common practice, no source).
   *
   * @return null if there is no picture, its rate is none that timecode counts, as with the varying
   *     rates of phones, the file cannot be read, or the libraries do not load here
   */
  public static @Nullable Timecode of(Path file) {
    if (!FfmpegLibraries.available()) {
      return null;
    }
    try (FfmpegInput input = FfmpegInput.open(file)) {
      FrameRate rate = null;
      boolean semicolon = hasSemicolon(input.tag("timecode"));
      for (int i = 0; i < input.context().nb_streams(); i++) {
        AVStream stream = input.context().streams(i);
        semicolon |= hasSemicolon(timecode(stream.metadata()));
        boolean picture =
            stream.codecpar().codec_type() == avutil.AVMEDIA_TYPE_VIDEO
                && (stream.disposition() & avformat.AV_DISPOSITION_ATTACHED_PIC) == 0;
        AVRational average = stream.avg_frame_rate();
        if (rate == null && picture && average.num() > 0 && average.den() > 0) {
          rate = FrameRate.nearest((double) average.num() / average.den());
        }
      }
      return rate == null ? null : new Timecode(rate, semicolon && rate.takesDropFrame());
    } catch (MediaException e) {
      // That the file cannot be read is told where its sound is read.
      return null;
    }
  }

  private static boolean hasSemicolon(@Nullable String timecode) {
    return timecode != null && timecode.indexOf(';') >= 0;
  }

  private static @Nullable String timecode(@Nullable AVDictionary metadata) {
    if (metadata == null || metadata.isNull()) {
      return null;
    }
    try (BytePointer key = new BytePointer("timecode", StandardCharsets.UTF_8)) {
      AVDictionaryEntry entry = avutil.av_dict_get(metadata, key, null, 0);
      return entry == null || entry.isNull()
          ? null
          : entry.value().getString(StandardCharsets.UTF_8);
    }
  }
}
