package hardpan.report;

import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Codecs as people who record say them. The report's fields keep the short names, which other
 * programs read; these words are for sentences.
 */
final class CodecWords {
  /** Signed, unsigned or floating, so many bits, whatever order of bytes. */
  private static final Pattern PCM = Pattern.compile("pcm_([suf])([0-9]{1,2})(?:le|be)?");

  private static final Map<String, String> NAMES =
      Map.ofEntries(
          Map.entry("aac", "AAC"),
          Map.entry("aac_latm", "AAC"),
          Map.entry("ac3", "AC-3"),
          Map.entry("eac3", "E-AC-3"),
          Map.entry("adpcm_ima_qt", "ADPCM"),
          Map.entry("adpcm_ima_wav", "ADPCM"),
          Map.entry("adpcm_ms", "ADPCM"),
          Map.entry("alac", "ALAC"),
          Map.entry("amr_nb", "AMR"),
          Map.entry("amr_wb", "AMR wideband"),
          Map.entry("dts", "DTS"),
          Map.entry("flac", "FLAC"),
          Map.entry("mp1", "MPEG layer 1"),
          Map.entry("mp2", "MPEG layer 2"),
          Map.entry("mp3", "MP3"),
          Map.entry("opus", "Opus"),
          Map.entry("pcm_alaw", "G.711 A-law"),
          Map.entry("pcm_bluray", "PCM"),
          Map.entry("pcm_dvd", "PCM"),
          Map.entry("pcm_mulaw", "G.711 \u00b5-law"),
          Map.entry("s302m", "PCM (SMPTE ST 302)"),
          Map.entry("truehd", "TrueHD"),
          Map.entry("vorbis", "Vorbis"),
          Map.entry("wavpack", "WavPack"),
          Map.entry("wmav1", "Windows Media Audio"),
          Map.entry("wmav2", "Windows Media Audio"));

  private CodecWords() {}

  /**
   * A codec with the bits of its samples, {@code PCM 16 bit} or {@code AAC}; one without a usual
   * name by its short name. Null if neither is known.
   *
   * @param codec short name as the FFmpeg libraries spell it, or null
   * @param bits bits of a sample as the file says them, or null
   */
  static @Nullable String of(@Nullable String codec, @Nullable Integer bits) {
    Matcher pcm = PCM.matcher(codec == null ? "" : codec);
    if (codec != null && pcm.matches()) {
      String form = pcm.group(1).equals("f") ? " bit float" : " bit";
      return "PCM " + (bits == null ? Integer.valueOf(pcm.group(2)) : bits) + form;
    }
    String name = codec == null ? null : NAMES.getOrDefault(codec, codec);
    if (bits == null) {
      return name;
    }
    return name == null ? bits + " bit" : name + ", " + bits + " bit";
  }
}
