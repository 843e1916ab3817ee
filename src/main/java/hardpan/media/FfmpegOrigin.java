package hardpan.media;

import hardpan.media.StartClaim.Origin;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
import org.bytedeco.ffmpeg.avformat.AVFormatContext;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVDictionaryEntry;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.jspecify.annotations.Nullable;

/**
 * When and from what device a file says it comes, out of the metadata that the libraries found. The
 * keys are those of the libraries and of the QuickTime metadata keys; lower and upper case are
 * taken alike.
 */
final class FfmpegOrigin {
  private static final int MAX_TAGS = 1000;
  private static final int MAX_TEXT = 1000;

  private static final List<String> MAKE =
      List.of("com.apple.quicktime.make", "com.android.manufacturer", "make", "company_name");

  private static final List<String> MODEL =
      List.of(
          "com.apple.quicktime.model", "com.android.model", "model", "product_name", "originator");

  private static final List<String> SOFTWARE =
      List.of("com.apple.quicktime.software", "software", "product_version", "encoder");

  /** However a maker spells the key of its serial number (common practice, no source). */
  private static final Pattern SERIAL =
      Pattern.compile("(.*[._-])?(camera|device|body)?[._-]?serial[._-]?(no|num|number)?");

  private FfmpegOrigin() {}

  /**
   * Everything an open file says.
   *
   * @param rateHz rate in which a time reference counts
   */
  static SourceOrigin of(FfmpegInput input, int rateHz) {
    AVFormatContext context = input.context();
    Map<String, String> tags = tags(context.metadata());
    List<StartClaim> claims = new ArrayList<>();
    add(claims, tags.get("com.apple.quicktime.creationdate"), StartClaims::makerKey);
    addBext(claims, tags, rateHz);
    addTimecode(claims, context, tags);
    String created = tags.get("creation_time");
    for (int i = 0; i < context.nb_streams() && created == null; i++) {
      created = tags(context.streams(i).metadata()).get("creation_time");
    }
    add(claims, created, StartClaims::container);
    add(claims, tags.get("date"), StartClaims::tag);
    return new SourceOrigin(maker(tags), StartClaims.dated(claims));
  }

  @FunctionalInterface
  private interface Reading {
    @Nullable StartClaim of(String text);
  }

  private static void add(List<StartClaim> claims, @Nullable String text, Reading reading) {
    StartClaim claim = text == null ? null : reading.of(text);
    if (claim != null) {
      claims.add(claim);
    }
  }

  /** What the libraries give of a {@code bext} chunk, in compressed Wave files and their kin. */
  private static void addBext(List<StartClaim> claims, Map<String, String> tags, int rateHz) {
    StartClaim at =
        StartClaims.tag(
            tags.getOrDefault("origination_date", "").replaceAll("[^0-9]", "-")
                + " "
                + tags.getOrDefault("origination_time", "").replaceAll("[^0-9]", ":"));
    LocalDate date = at == null ? null : at.date();
    LocalTime time = at == null ? null : at.time();
    String samples = tags.getOrDefault("time_reference", "").strip();
    StartClaim exact =
        samples.matches("[0-9]{1,18}")
            ? StartClaims.sinceMidnight(
                Long.parseLong(samples), rateHz, date, time, Origin.TIME_REFERENCE)
            : null;
    if (exact != null) {
      claims.add(exact);
    }
    if (date != null && time != null) {
      claims.add(StartClaims.bext(date, time, Origin.BEXT));
    }
  }

  /**
   * The first label that any stream has; all of a file's streams begin with the same one. Its rate
   * is that of the timecode track, else that of the picture.
   */
  private static void addTimecode(
      List<StartClaim> claims, AVFormatContext context, Map<String, String> tags) {
    String label = tags.get("timecode");
    AVRational trackRate = null;
    AVRational pictureRate = null;
    for (int i = 0; i < context.nb_streams(); i++) {
      AVStream stream = context.streams(i);
      int type = stream.codecpar().codec_type();
      String own = tags(stream.metadata()).get("timecode");
      label = label == null ? own : label;
      if (own != null && type == avutil.AVMEDIA_TYPE_DATA && trackRate == null) {
        trackRate = set(stream.avg_frame_rate());
      }
      if (type == avutil.AVMEDIA_TYPE_VIDEO && pictureRate == null) {
        pictureRate = set(stream.r_frame_rate());
      }
    }
    AVRational rate = trackRate == null ? pictureRate : trackRate;
    Timecode code =
        label == null || rate == null ? null : Timecode.parse(label, rate.num(), rate.den());
    if (code != null) {
      claims.add(StartClaims.timecode(code));
    }
  }

  private static @Nullable AVRational set(AVRational rate) {
    return rate.num() > 0 && rate.den() > 0 ? rate : null;
  }

  private static Maker maker(Map<String, String> tags) {
    String serial = "";
    for (Map.Entry<String, String> tag : tags.entrySet()) {
      if (serial.isEmpty() && SERIAL.matcher(tag.getKey()).matches()) {
        serial = tag.getValue();
      }
    }
    return new Maker(first(tags, MAKE), first(tags, MODEL), serial, first(tags, SOFTWARE));
  }

  private static String first(Map<String, String> tags, List<String> keys) {
    for (String key : keys) {
      String value = tags.get(key);
      if (value != null) {
        return value;
      }
    }
    return "";
  }

  /** Entries of a dictionary, keys in lower case, the first of each; blank ones left out. */
  static Map<String, String> tags(@Nullable AVDictionary dictionary) {
    Map<String, String> tags = new LinkedHashMap<>();
    if (dictionary == null || dictionary.isNull()) {
      return tags;
    }
    try (BytePointer any = new BytePointer("", StandardCharsets.UTF_8)) {
      AVDictionaryEntry entry = null;
      for (int i = 0; i < MAX_TAGS; i++) {
        entry = avutil.av_dict_get(dictionary, any, entry, avutil.AV_DICT_IGNORE_SUFFIX);
        if (entry == null || entry.isNull()) {
          break;
        }
        String key = entry.key().getString(StandardCharsets.UTF_8).toLowerCase(Locale.ROOT);
        String value = entry.value().getString(StandardCharsets.UTF_8).strip();
        if (!value.isEmpty() && value.length() <= MAX_TEXT) {
          tags.putIfAbsent(key, value);
        }
      }
    }
    return tags;
  }
}
