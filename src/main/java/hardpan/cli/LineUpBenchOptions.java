package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.bench.LineUpBench;
import hardpan.bench.PlaceSpeedBench;
import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** What 'bench lineup' can be asked for beyond the common options. */
final class LineUpBenchOptions {
  @Option(
      names = "--clips",
      paramLabel = "N",
      defaultValue = "500",
      description = "How many clips 'lineup' places. Default: ${DEFAULT-VALUE}.")
  private int clips = 500;

  @Option(
      names = "--clip",
      paramLabel = "N",
      description = "Place a single clip of 'lineup' and print all that is known of it.")
  private @Nullable Integer clip;

  @Option(
      names = "--set",
      paramLabel = "N",
      description = "Another set of clips for 'lineup' than the published one.")
  private long set = LineUpBench.PUBLISHED_SEED;

  @Option(
      names = "--work",
      paramLabel = "DIR",
      description = "Keep the recordings 'lineup' makes here, and use them again.")
  private @Nullable Path workFolder;

  @Option(
      names = "--list",
      paramLabel = "FILE",
      description = "Write a line for each clip of 'lineup' to this file.")
  private @Nullable Path list;

  @Option(
      names = "--threads",
      paramLabel = "N",
      defaultValue = "2",
      description = "How many clips 'lineup' works on at once. Default: ${DEFAULT-VALUE}.")
  private int threads = 2;

  @Option(
      names = "--first",
      paramLabel = "N",
      defaultValue = "0",
      description = "Number of the first clip of 'lineup'. Default: ${DEFAULT-VALUE}.")
  private int first;

  @Option(
      names = "--minutes",
      paramLabel = "N",
      description = "Begin no further clip of 'lineup' after so many minutes.")
  private @Nullable Integer minutes;

  @Option(
      names = "--append",
      paramLabel = "FILE",
      description =
          "Keep what became of each clip of 'lineup' in this file and go on where it ends.")
  private @Nullable Path append;

  String places(Path voices, Path music, Monitor monitor) throws MediaException, IOException {
    return new PlaceSpeedBench(voices, music, set, workFolder, monitor).page();
  }

  String page(Path voices, Path music, Monitor monitor) throws MediaException, IOException {
    return new LineUpBench(
            new LineUpBench.Settings(
                voices, music, clips, clip, set, workFolder, list, first, threads, minutes, append),
            monitor)
        .page();
  }
}
