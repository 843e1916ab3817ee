package hardpan.media;

import hardpan.media.FfmpegClipWriter.Settings;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** Twenty small files of the kinds that cameras and recorders write, to be damaged. */
final class DamageSet {
  private static final int RATE_HZ = 48_000;

  private DamageSet() {}

  /**
   * One kind of file.
   *
   * @param container the libraries' name, or {@code wave} and {@code rf64} for our own writer
   * @param codec the libraries' name of the encoder
   * @param flags the {@code movflags}, or empty
   * @param picture whether a picture runs along
   */
  record Kind(String container, String codec, String flags, boolean picture) {
    String name() {
      return container + "-" + codec + (flags.isEmpty() ? "" : "-" + flags.replace('+', '-'));
    }
  }

  static final List<Kind> KINDS =
      List.of(
          new Kind("wave", "pcm_s24le", "", false),
          new Kind("wave", "pcm_f32le", "", false),
          new Kind("rf64", "pcm_s16le", "", false),
          new Kind("w64", "pcm_s24le", "", false),
          new Kind("aiff", "pcm_s24be", "", false),
          new Kind("caf", "pcm_s16le", "", false),
          new Kind("flac", "flac", "", false),
          new Kind("mp3", "libmp3lame", "", false),
          new Kind("mov", "pcm_s16le", "", true),
          new Kind("mov", "pcm_s24le", "faststart", true),
          new Kind("mov", "alac", "", false),
          new Kind("mp4", "aac", "", true),
          new Kind("mp4", "aac", "faststart", false),
          new Kind("mp4", "aac", "frag_keyframe+empty_moov", true),
          new Kind("mpegts", "ac3", "", true),
          new Kind("mpegts", "aac", "", true),
          new Kind("mpegts", "mp2", "", false),
          new Kind("matroska", "flac", "", true),
          new Kind("avi", "pcm_s16le", "", true),
          new Kind("mxf_opatom", "pcm_s16le", "", false));

  /** Writes them all; the same every time. */
  static List<Path> write(Path dir, long seed, int frames) throws IOException {
    List<Path> files = new ArrayList<>();
    for (Kind kind : KINDS) {
      Path file = dir.resolve(kind.name());
      float[][] sound = MediaSamples.speechLike(seed, RATE_HZ, 2, frames);
      if (kind.container().equals("wave") || kind.container().equals("rf64")) {
        writeWave(file, kind, sound);
      } else {
        // This form of MXF holds one channel a file.
        float[][] used = kind.container().startsWith("mxf") ? new float[][] {sound[0]} : sound;
        Settings settings =
            new Settings(
                kind.container(), kind.codec(), RATE_HZ, used.length, null, kind.picture(), null);
        MediaSamples.write(
            file,
            settings,
            used,
            1,
            kind.flags().isEmpty() ? Map.of() : Map.of("movflags", kind.flags()));
      }
      files.add(file);
    }
    return files;
  }

  private static void writeWave(Path file, Kind kind, float[][] sound) throws IOException {
    WaveFormat format =
        kind.codec().equals("pcm_f32le")
            ? WaveFormat.float32(RATE_HZ, 2)
            : WaveFormat.integer(kind.codec().equals("pcm_s24le") ? 24 : 16, RATE_HZ, 2);
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, WaveMetadata.NONE)) {
      writer.writeFloats(sound, sound[0].length);
      writer.finish();
    }
    if (kind.container().equals("rf64")) {
      asRf64(file);
    }
  }

  /** Turns the space our writer reserves into a ds64 chunk (EBU Tech 3306, section 3.5). */
  private static void asRf64(Path file) throws IOException {
    byte[] bytes = Files.readAllBytes(file);
    var in = java.nio.ByteBuffer.wrap(bytes).order(java.nio.ByteOrder.LITTLE_ENDIAN);
    int data = new String(bytes, java.nio.charset.StandardCharsets.ISO_8859_1).indexOf("data");
    long size = in.getInt(data + 4);
    in.put(0, new byte[] {'R', 'F', '6', '4'}).putInt(4, -1);
    in.put(12, new byte[] {'d', 's', '6', '4'});
    in.putLong(20, bytes.length - 8L).putLong(28, size).putLong(36, size / 4).putInt(44, 0);
    in.putInt(data + 4, -1);
    Files.write(file, bytes);
  }
}
