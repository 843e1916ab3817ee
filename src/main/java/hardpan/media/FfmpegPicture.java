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

/**
 * Whether a file has a moving picture, and how it is counted.
 *
 * @param present whether there is one; a cover image is none
 * @param counted its frame rate, and whether the file's own timecode counts drop-frame, which a
 *     semicolon in it says (common practice, no source); null if there is no picture or its rate is
 *     none that timecode counts, as with the varying rates of phones
 */
public record FfmpegPicture(boolean present, @Nullable Timecode counted) {
  private static final double MOST_PICTURES_OFF = 1.5;

  /**
   * Looks at a file's headers.
   *
   * @return null if the file cannot be read, or the libraries do not load here
   */
  public static @Nullable FfmpegPicture of(Path file) {
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
        if (rate == null && picture) {
          rate = rate(stream);
        }
      }
      return new FfmpegPicture(
          input.hasPicture(),
          rate == null ? null : new Timecode(rate, semicolon && rate.takesDropFrame()));
    } catch (MediaException e) {
      // That the file cannot be read is told where its sound is read.
      return null;
    }
  }

  /**
   * The average, which some files state without the length of the last picture; then the rate of
   * most pictures, if their number is right for it.
   */
  private static @Nullable FrameRate rate(AVStream stream) {
    FrameRate average = FrameRate.nearest(value(stream.avg_frame_rate()));
    if (average != null) {
      return average;
    }
    FrameRate usual = FrameRate.nearest(value(stream.r_frame_rate()));
    double seconds = stream.duration() * value(stream.time_base());
    return usual != null
            && stream.nb_frames() > 0
            && Math.abs(stream.nb_frames() - usual.perSecond() * seconds) < MOST_PICTURES_OFF
        ? usual
        : null;
  }

  private static double value(AVRational fraction) {
    return fraction.den() == 0 ? 0 : (double) fraction.num() / fraction.den();
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
