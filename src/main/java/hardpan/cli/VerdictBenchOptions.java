package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.bench.VerdictBench;
import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** What 'bench verdicts' can be asked for beyond the common options. */
final class VerdictBenchOptions {
  @Option(
      names = "--trials",
      paramLabel = "N",
      defaultValue = "1400",
      description = "Clips on left against right for 'verdicts'; the others follow in proportion.")
  private int trials = 1400;

  @Option(
      names = "--seed",
      paramLabel = "S",
      defaultValue = "20270831",
      description = "Another seed makes other clips for 'verdicts'.")
  private long seed = 20270831;

  @Option(
      names = "--only",
      paramLabel = "TRIAL",
      description =
          "Only one clip of 'verdicts' with all its figures, such as pair-17, or one family: pair.")
  private @Nullable String only;

  /** The page; clips that came out wrong are printed before it. */
  String page(Path voices, Path music, Terminal terminal) throws MediaException, IOException {
    VerdictBench bench = new VerdictBench(voices, music, seed, trials, terminal);
    String page = bench.page(only);
    terminal.wipe();
    bench.misses().forEach(miss -> terminal.out().println("wrong  " + miss));
    return page;
  }
}
