package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.DecodePass;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.verdict.VerdictListener;
import hardpan.verdict.Verdicts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** Writes a trial as a clip, reads it back the way the product does, and gives the verdicts. */
final class TrialRun {
  private TrialRun() {}

  static Verdicts judge(Trial trial, Path folder) throws MediaException, IOException {
    Path file = folder.resolve("clip-" + Thread.currentThread().getId() + ".mov");
    Files.deleteIfExists(file);
    FfmpegClipWriter.Settings settings =
        trial.codec().settings(trial.rateHz(), trial.sound().length);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(trial.sound(), trial.sound()[0].length);
    }
    try (SourceReader reader = SourceOpener.open(file)) {
      VerdictListener listener = new VerdictListener(reader.facts());
      DecodePass.run(reader, List.of(listener), Monitor.SILENT);
      return listener.finish();
    } finally {
      Files.deleteIfExists(file);
    }
  }
}
