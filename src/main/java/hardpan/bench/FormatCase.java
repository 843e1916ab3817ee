package hardpan.bench;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;

/**
 * One row of the table of formats: what is written, and how.
 *
 * @param label the container as the table names it, unique together with codec and rate
 * @param ending the file's ending
 * @param muxer the libraries' name of the container's writer; {@code hand} for files put together
 *     in {@link HandMadeFiles}
 * @param codec the libraries' name of the encoder, bits behind a hyphen
 * @param rateHz sample rate
 * @param channels 1 or 2
 * @param withPicture whether a picture runs along from the first frame of sound
 * @param options options of the container's writer
 */
record FormatCase(
    String label,
    String ending,
    String muxer,
    String codec,
    int rateHz,
    int channels,
    boolean withPicture,
    Map<String, String> options) {
  /** Copies the options. */
  FormatCase {
    options = Map.copyOf(options);
  }

  /** What the row begins with. */
  String key() {
    return "| " + label + " | " + codec + " | " + rateHz + " |";
  }

  private static Stream<FormatCase> clips(
      String label, String muxer, String ending, String codecs) {
    return cases(label, muxer, ending, codecs, true, Map.of());
  }

  private static Stream<FormatCase> sounds(
      String label, String muxer, String ending, String codecs) {
    return cases(label, muxer, ending, codecs, false, Map.of());
  }

  /** Codecs are separated by spaces; a rate other than 48000 follows after {@code @}. */
  private static Stream<FormatCase> cases(
      String label,
      String muxer,
      String ending,
      String codecs,
      boolean withPicture,
      Map<String, String> options) {
    return Stream.of(codecs.split(" ", -1))
        .map(
            text -> {
              String[] parts = text.split("@", 2);
              int rateHz = parts.length < 2 ? 48_000 : Integer.parseInt(parts[1]);
              int channels = parts[0].startsWith("libopencore") ? 1 : 2;
              return new FormatCase(
                  label, ending, muxer, parts[0], rateHz, channels, withPicture, options);
            });
  }

  /** All rows in the table's order. */
  static List<FormatCase> all() {
    Map<String, String> m2ts = Map.of("mpegts_m2ts_mode", "1");
    return Stream.of(
            clips(
                "MOV",
                "mov",
                "mov",
                "pcm_u8 pcm_s8 pcm_s16le pcm_s16le@8000 pcm_s16le@32000 pcm_s16le@44100"
                    + " pcm_s16le@96000 pcm_s16be pcm_s24le pcm_s24be pcm_s24le@88200"
                    + " pcm_s24le@192000 pcm_s32le pcm_s32be pcm_f32le pcm_f32be pcm_f64le"
                    + " pcm_f64be alac-16 alac-24 aac aac@44100 ac3 eac3 libmp3lame"),
            sounds("MOV by hand", "hand", "mov", "lpcm-16le lpcm-24le lpcm-24be lpcm-f32le"),
            clips(
                "MP4",
                "mp4",
                "mp4",
                "aac aac@8000 aac@16000 aac@22050 aac@32000 aac@44100 aac@96000 pcm_s16le"
                    + " pcm_s16be pcm_s24le pcm_s24be pcm_s32le pcm_f32le alac-24 flac-24 ac3 eac3"
                    + " libmp3lame libopus"),
            sounds("MP4 by hand", "hand", "mp4", "he-aac"),
            clips("M4V", "ipod", "m4v", "aac ac3"),
            clips("3GP", "3gp", "3gp", "aac libopencore_amrnb@8000"),
            cases(
                "MP4 in fragments",
                "mp4",
                "mp4",
                "aac pcm_s16le",
                true,
                Map.of("movflags", "frag_keyframe+empty_moov")),
            cases(
                "MP4 in fragments with edit list",
                "mp4",
                "mp4",
                "aac ac3",
                true,
                Map.of("movflags", "frag_keyframe+delay_moov")),
            clips("TS", "mpegts", "ts", "aac aac@44100 ac3 ac3@44100 eac3 mp2 libmp3lame s302m-24"),
            cases("M2TS", "mpegts", "m2ts", "ac3 pcm_bluray-16 pcm_bluray-24@96000", true, m2ts),
            clips("MPEG-PS", "mpeg", "mpg", "mp2 ac3"),
            clips("MXF", "mxf", "mxf", "pcm_s16le pcm_s24le"),
            clips("AVI", "avi", "avi", "pcm_u8 pcm_s16le pcm_s24le libmp3lame ac3 aac"),
            clips(
                "MKV",
                "matroska",
                "mkv",
                "pcm_s16le pcm_s24le pcm_f32le flac-24 aac aac@44100 ac3 eac3 libmp3lame"
                    + " libopus vorbis"),
            sounds("WebM", "webm", "webm", "libopus vorbis"),
            clips("FLV", "flv", "flv", "aac@44100"),
            clips("ASF", "asf", "wmv", "wmav2"),
            sounds(
                "WAV",
                "wav",
                "wav",
                "pcm_u8 pcm_s16le pcm_s16le@8000 pcm_s24le pcm_s24le@192000 pcm_s32le pcm_f32le"
                    + " pcm_f64le libmp3lame"),
            cases("BWF", "wav", "wav", "pcm_s24le", false, Map.of("write_bext", "1")),
            cases("RF64", "wav", "wav", "pcm_s24le", false, Map.of("rf64", "always")),
            sounds("BW64 by hand", "hand", "wav", "bw64-24"),
            sounds("Wave64", "w64", "w64", "pcm_s16le pcm_s24le pcm_f32le"),
            sounds(
                "AIFF and AIFC",
                "aiff",
                "aif",
                "pcm_s16be pcm_s24be pcm_s32be pcm_s16le pcm_f32be"),
            sounds("CAF", "caf", "caf", "pcm_s16be pcm_s24le pcm_s24be pcm_f32le alac-24 libopus"),
            sounds("FLAC", "flac", "flac", "flac-16 flac-24 flac-24@96000 flac-24@192000"),
            sounds("MP3", "mp3", "mp3", "libmp3lame libmp3lame@44100 libmp3lame@32000"),
            sounds("M4A", "ipod", "m4a", "aac aac@44100 alac-16 alac-24"),
            sounds("AAC (ADTS)", "adts", "aac", "aac"),
            sounds("AC-3", "ac3", "ac3", "ac3"),
            sounds("Ogg", "ogg", "ogg", "vorbis libopus flac-16"),
            sounds("WavPack", "wv", "wv", "wavpack-16"))
        .flatMap(cases -> cases)
        .toList();
  }
}
