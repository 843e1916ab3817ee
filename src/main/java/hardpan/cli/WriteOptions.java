package hardpan.cli;

import hardpan.lanes.DriftCorrection;
import hardpan.media.ReaderChoice;
import hardpan.shoot.HandOver;
import java.nio.file.Path;
import picocli.CommandLine.Option;

/** What all commands that write a hand-over take. */
final class WriteOptions {
  @Option(
      names = "--out",
      required = true,
      paramLabel = "DIR",
      description = "The folder to make. It must not exist yet.")
  Path target = Path.of("");

  @Option(names = "--replace", description = "Replace an earlier hand-over of that name.")
  boolean replace;

  @Option(
      names = "--drift",
      paramLabel = "WHEN",
      defaultValue = "auto",
      converter = CorrectionConverter.class,
      description =
          "Correct clocks by resampling: auto (when a clip drifts by more than 10 ms), on, off."
              + " Default: auto.")
  DriftCorrection drift = DriftCorrection.AUTO;

  HandOver.Options forHandOver(ReaderChoice choice) {
    return new HandOver.Options(target, replace, drift, choice, Job.now());
  }

  /** Takes the word in lower case. */
  static final class CorrectionConverter extends WordConverter<DriftCorrection> {
    CorrectionConverter() {
      super(DriftCorrection.values());
    }
  }
}
