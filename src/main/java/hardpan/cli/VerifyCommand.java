package hardpan.cli;

import hardpan.shoot.HandOverCheck;
import hardpan.shoot.ShootException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Is a hand-over still what it was? */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = {
      "Compare a hand-over with its checksums, and the originals too where they can be reached.",
      "Exit code 0: nothing has changed; 1: something has; 3: it is no hand-over."
    })
final class VerifyCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Parameters(paramLabel = "HANDOVER", description = "The folder of the hand-over.")
  private Path folder = Path.of("");

  @Option(
      names = "--sources",
      paramLabel = "DIR",
      description = "Look for the originals in this folder. May be given more than once.")
  private List<Path> sources = List.of();

  @Option(names = "--quiet", description = "Print nothing but differences and failures.")
  private boolean quiet;

  VerifyCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    try {
      HandOverCheck.Result result = HandOverCheck.run(folder, sources, terminal);
      terminal.wipe();
      print(result);
      return result.differences().isEmpty() ? ExitCode.DONE : ExitCode.PARTLY;
    } catch (ShootException e) {
      terminal.complain(e.sentence());
      return ExitCode.of(e);
    } catch (CancellationException e) {
      terminal.complain("Cancelled; nothing was changed.");
      return ExitCode.CANCELLED;
    }
  }

  private void print(HandOverCheck.Result result) {
    PrintWriter out = terminal.out();
    for (HandOverCheck.Difference difference : result.differences()) {
      out.println(
          difference.kind().name().toLowerCase(Locale.ROOT)
              + (difference.original() ? " original: " : ": ")
              + difference.path());
    }
    if (!quiet) {
      for (String path : result.outOfReach()) {
        out.println("not found original: " + path);
      }
      List<HandOverCheck.Difference> differences = result.differences();
      out.println(
          (differences.isEmpty()
                  ? "Unchanged: "
                  : count(differences.size(), "file is", "files are")
                      + " not as handed over. Compared: ")
              + count(result.files(), "file", "files")
              + " of the hand-over and "
              + count(result.originals(), "original", "originals")
              + "."
              + (result.outOfReach().isEmpty()
                  ? ""
                  : " Name the folder of the others with --sources."));
    }
    out.flush();
  }

  private static String count(int number, String one, String many) {
    return number + " " + (number == 1 ? one : many);
  }
}
