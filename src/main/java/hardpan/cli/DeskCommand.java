package hardpan.cli;

import hardpan.desk.Desk;
import hardpan.desk.NoScreenException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

/** The window. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "Open the window; without any command it opens too.")
final class DeskCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Parameters(
      arity = "0..*",
      paramLabel = "PATH",
      description = "Folders and files to read, or one saved shoot (.hardpan).")
  private List<Path> paths = List.of();

  DeskCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    try {
      terminal.onCancel(Desk::stop);
      Desk.open(paths);
      return ExitCode.DONE;
    } catch (NoScreenException e) {
      terminal.complain(e.sentence());
      return ExitCode.NOTHING;
    }
  }
}
