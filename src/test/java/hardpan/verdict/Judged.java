package hardpan.verdict;

import hardpan.base.Monitor;
import hardpan.media.DecodePass;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Runs the verdicts on sounds in memory, straight or through a codec and back. */
final class Judged {
  static final int RATE = 48_000;

  private Judged() {}

  static SourceFacts facts(SampleForm form, int bits, int rateHz, int channels) {
    return new SourceFacts(
        SourceFacts.Kind.CLIP,
        "mov",
        form == SampleForm.LOSSY ? "aac" : "pcm_s16le",
        form,
        rateHz,
        form == SampleForm.LOSSY ? null : bits,
        channels,
        null,
        null,
        null,
        List.of("", ""),
        SourceFacts.ReadBy.NATIVE);
  }

  /** Judges sound as it is. */
  static Verdicts straight(float[]... planar) {
    return as(SampleForm.INTEGER, RATE, planar);
  }

  /** Judges sound in blocks of an odd length. */
  static Verdicts as(SampleForm form, int rateHz, float[]... planar) {
    return as(form, form == SampleForm.FLOAT ? 32 : 16, rateHz, planar);
  }

  /** The same with other than 16 bits. */
  static Verdicts as(SampleForm form, int bits, int rateHz, float[]... planar) {
    VerdictListener listener = new VerdictListener(facts(form, bits, rateHz, planar.length));
    int length = planar[0].length;
    for (int at = 0; at < length; at += 7001) {
      int count = Math.min(7001, length - at);
      float[][] block = new float[planar.length][count];
      for (int c = 0; c < planar.length; c++) {
        System.arraycopy(planar[c], at, block[c], 0, count);
      }
      listener.onBlock(at, block, count);
    }
    return listener.finish();
  }

  /**
   * Encodes with a codec, decodes, judges.
   *
   * @param codec {@code pcm}, or a codec and its bits a second as in {@code aac-128000}
   */
  static Verdicts through(String codec, Path folder, float[]... planar) throws Exception {
    if (codec.equals("pcm")) {
      return straight(planar);
    }
    String[] parts = codec.split("-", -1);
    String container = parts[0].equals("ac3") ? "mpegts" : "mp4";
    Path file = Files.createTempFile(folder, "clip", "." + container);
    Files.delete(file);
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings(
            container,
            parts[0],
            RATE,
            planar.length,
            Integer.valueOf(parts[1]),
            !container.equals("mp4"),
            null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(planar, planar[0].length);
    }
    try (SourceReader reader = SourceOpener.open(file)) {
      VerdictListener listener = new VerdictListener(reader.facts());
      DecodePass.run(reader, List.of(listener), Monitor.SILENT);
      return listener.finish();
    } finally {
      delete(file);
    }
  }

  private static void delete(Path file) throws IOException {
    Files.deleteIfExists(file);
  }
}
