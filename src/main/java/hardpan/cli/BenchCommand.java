package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.bench.AccuracyBench;
import hardpan.bench.AnalysisBench;
import hardpan.bench.BendBench;
import hardpan.bench.FormatBench;
import hardpan.bench.PageSection;
import hardpan.bench.ReopenBench;
import hardpan.bench.ResamplerBench;
import hardpan.bench.RunsBench;
import hardpan.bench.SpeedBench;
import hardpan.bench.SplitBench;
import hardpan.bench.WindowBench;
import hardpan.desk.NoScreenException;
import hardpan.desk.WindowFrames;
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
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Measures the program itself. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = {
      "Measure this program.",
      "speed: time and memory of whole hand-overs.",
      "analysis: reading and checking one clip, and where the time goes.",
      "reopen: showing a shoot again that was worked on before.",
      "split: an hour's clip into two lanes, beside FFmpeg's channelsplit.",
      "accuracy: places and verdicts on a shoot made from recorded voices and music.",
      "verdicts: verdicts on a thousand and more made clips of known truth.",
      "lineup: places of many made clips on made recordings, against the truth.",
      "places: time to place a clip in eight hours of recording.",
      "resampler: what correcting a clock leaves of pure tones.",
      "bends: how far lanes of clips with bent clocks lie from the reference.",
      "window: how fast the picture of the shoot is drawn; opens a window.",
      "runs: joins of parts, true and false, in recorded voices and music.",
      "formats: where and how loud known sound comes back from every container and codec."
    })
final class BenchCommand implements Callable<Integer> {
  private final Terminal terminal;

  /** What can be measured. */
  enum What {
    speed,
    analysis,
    reopen,
    split,
    accuracy,
    verdicts,
    lineup,
    places,
    resampler,
    bends,
    window,
    runs,
    formats
  }

  @Parameters(
      paramLabel = "WHAT",
      description =
          "speed, analysis, reopen, split, accuracy, verdicts, lineup, places, resampler, bends,"
              + " window, runs, formats")
  private What what = What.speed;

  @Option(
      names = "--voices",
      paramLabel = "DIR",
      defaultValue = "/usr/share/klettres",
      description = "Recorded voices for the benches that want some. Default: ${DEFAULT-VALUE}.")
  private Path voices = Path.of("");

  @Option(
      names = "--music",
      paramLabel = "DIR",
      defaultValue = "/usr/share/asterisk/moh",
      description = "Recorded music for the benches that want some. Default: ${DEFAULT-VALUE}.")
  private Path music = Path.of("");

  @Option(
      names = "--doc",
      paramLabel = "FILE",
      description =
          "Write the result to this file too; 'formats' only fills in its table, 'split' its section.")
  private @Nullable Path document;

  @Mixin private final LineUpBenchOptions lineUp = new LineUpBenchOptions();

  @Mixin private final VerdictBenchOptions ofVerdicts = new VerdictBenchOptions();

  BenchCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    try {
      String page =
          switch (what) {
            case speed -> new SpeedBench(ownCommand(), terminal).page();
            case analysis -> new AnalysisBench(voices, music, terminal).page();
            case reopen -> new ReopenBench(terminal).section();
            case split -> new SplitBench(ownCommand(), terminal).section();
            case runs -> new RunsBench(voices, music, terminal).page();
            case accuracy -> new AccuracyBench(voices, music, terminal).page();
            case verdicts -> ofVerdicts.page(voices, music, terminal);
            case lineup -> lineUp.page(voices, music, terminal);
            case places -> lineUp.places(voices, music, terminal);
            case resampler -> new ResamplerBench(terminal).page();
            case bends -> new BendBench(terminal).page();
            case window -> new WindowBench<>(WindowFrames::table, terminal).section();
            case formats -> new FormatBench(terminal).page();
          };
      terminal.wipe();
      terminal.out().print(page);
      terminal.out().flush();
      if (document != null) {
        String before =
            Files.exists(document) ? Files.readString(document, StandardCharsets.UTF_8) : "";
        String text =
            switch (what) {
              case analysis -> PageSection.in(document, "analysis", page);
              case verdicts -> PageSection.in(document, "verdicts", page);
              case formats -> FormatBench.withTable(before, page);
              case reopen -> PageSection.in(document, "reopen", page);
              case split -> PageSection.in(document, "split", page);
              case lineup -> PageSection.in(document, "line-up", page);
              case places -> PageSection.in(document, "places", page);
              case resampler -> PageSection.in(document, "resampler", page);
              case bends -> PageSection.in(document, "bends", page);
              case window -> PageSection.in(document, "window", page);
              case speed, accuracy, runs -> PageSection.kept(before, page);
            };
        Files.writeString(document, text, StandardCharsets.UTF_8);
      }
      return ExitCode.DONE;
    } catch (CancellationException e) {
      terminal.complain("Cancelled; the bench removed what it had made.");
      return ExitCode.CANCELLED;
    } catch (NoScreenException e) {
      terminal.complain(e.sentence());
      return ExitCode.NOTHING;
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
