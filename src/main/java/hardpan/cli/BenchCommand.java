package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.bench.AccuracyBench;
import hardpan.bench.LineUpBench;
import hardpan.bench.SpeedBench;
import hardpan.shoot.ShootException;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Measures the program itself. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = {
      "Measure this program.",
      "speed: time and memory of whole hand-overs.",
      "accuracy: places and verdicts on a shoot made from recorded voices and music.",
      "lineup: places of many made clips on made recordings, against the truth."
    })
final class BenchCommand implements Callable<Integer> {
  private final Terminal terminal;

  /** What can be measured. */
  enum What {
    speed,
    accuracy,
    lineup
  }

  @Parameters(paramLabel = "WHAT", description = "speed, accuracy or lineup")
  private What what = What.speed;

  @Option(
      names = "--voices",
      paramLabel = "DIR",
      defaultValue = "/usr/share/klettres",
      description = "Recorded voices for 'accuracy' and 'lineup'. Default: ${DEFAULT-VALUE}.")
  private Path voices = Path.of("");

  @Option(
      names = "--music",
      paramLabel = "DIR",
      defaultValue = "/usr/share/asterisk/moh",
      description = "Recorded music for 'accuracy' and 'lineup'. Default: ${DEFAULT-VALUE}.")
  private Path music = Path.of("");

  @Option(names = "--doc", paramLabel = "FILE", description = "Write the result to this file too.")
  private @Nullable Path document;

  @Option(
      names = "--trials",
      paramLabel = "N",
      defaultValue = "500",
      description = "How many trials 'lineup' runs. Default: ${DEFAULT-VALUE}.")
  private int trials = 500;

  @Option(names = "--only", paramLabel = "N", description = "Run a single trial of 'lineup'.")
  private @Nullable Integer only;

  @Option(
      names = "--seed",
      paramLabel = "N",
      description = "Another set of trials than the published one.")
  private long seed = LineUpBench.PUBLISHED_SEED;

  @Option(
      names = "--work",
      paramLabel = "DIR",
      description = "Keep the recordings 'lineup' makes here, and use them again.")
  private @Nullable Path workFolder;

  @Option(
      names = "--list",
      paramLabel = "FILE",
      description = "Write a line for each trial of 'lineup' to this file.")
  private @Nullable Path list;

  BenchCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    try {
      String page =
          switch (what) {
            case speed -> new SpeedBench(ownCommand(), terminal).page();
            case accuracy -> new AccuracyBench(voices, music, terminal).page();
            case lineup ->
                new LineUpBench(
                        new LineUpBench.Settings(
                            voices, music, trials, only, seed, workFolder, list),
                        terminal)
                    .page();
          };
      terminal.wipe();
      terminal.out().print(page);
      terminal.out().flush();
      if (document != null) {
        Files.writeString(document, page, StandardCharsets.UTF_8);
      }
      return ExitCode.DONE;
    } catch (CancellationException e) {
      terminal.complain("Cancelled; the bench removed what it had made.");
      return ExitCode.CANCELLED;
    } catch (ShootException e) {
      terminal.complain(e.sentence());
      return ExitCode.of(e);
    } catch (MediaException e) {
      terminal.complain(e.sentence());
      return ExitCode.NOTHING;
    } catch (IOException | UncheckedIOException e) {
      terminal.complain("The bench could not run: " + e.getMessage());
      return ExitCode.NOTHING;
    }
  }

  /** The virtual machine, options and class path this process was started with. */
  private static List<String> ownCommand() {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(ManagementFactory.getRuntimeMXBean().getInputArguments());
    command.add("-cp");
    command.add(System.getProperty("java.class.path"));
    command.add("hardpan.Main");
    return command;
  }
}
