package hardpan.cli;

import hardpan.shoot.Version;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.IVersionProvider;

/** The program's front door: the commands and how failures become exit codes. */
@Command(
    name = "hardpan",
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description =
        "From a folder of clips and recordings of an event to clean, named mono tracks on one"
            + " clock, and an honest list of what is damaged.",
    exitCodeListHeading = "%nExit codes:%n",
    exitCodeList = {
      "0:all done",
      "1:done, but some sources have errors or stayed unplaced",
      "2:the request makes no sense",
      "3:nothing could be done",
      "130:cancelled"
    })
public final class Hardpan {
  /** Set by the launcher when standard error is a terminal; Java itself cannot tell. */
  private static final String TERMINAL_PROPERTY = "hardpan.terminal";

  private Hardpan() {}

  /** Prints the version. */
  static final class VersionText implements IVersionProvider {
    @Override
    public String[] getVersion() {
      return new String[] {Version.madeBy()};
    }
  }

  /**
   * Runs a command line on the process's own streams.
   *
   * @return the exit code
   */
  public static int run(String[] args) {
    PrintWriter out = new PrintWriter(new OutputStreamWriter(System.out, StandardCharsets.UTF_8));
    PrintWriter err = new PrintWriter(new OutputStreamWriter(System.err, StandardCharsets.UTF_8));
    boolean quiet = List.of(args).contains("--quiet");
    Terminal terminal = new Terminal(out, err, Boolean.getBoolean(TERMINAL_PROPERTY) && !quiet);
    CountDownLatch ended = new CountDownLatch(1);
    terminal.onCancel(() -> awaitEnd(ended));
    Thread onInterrupt = new Thread(terminal::cancel, "hardpan-interrupt");
    Runtime.getRuntime().addShutdownHook(onInterrupt);
    try {
      // Who starts the program with nothing, from a menu say, wants the window.
      return args.length == 0 ? run(terminal, err, "desk") : run(terminal, err, args);
    } finally {
      out.flush();
      err.flush();
      ended.countDown();
    }
  }

  /** Cleaning up takes a moment; the process must not die in the middle of it. */
  private static void awaitEnd(CountDownLatch ended) {
    try {
      ended.await(20, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Runs a command line on given streams. */
  static int run(Terminal terminal, PrintWriter err, String... args) {
    try {
      return commandLine(terminal, err).execute(args);
    } catch (OutOfMemoryError e) {
      terminal.complain(
          "The memory did not suffice; nothing was left half-done. Give the program more with"
              + " HARDPAN_JAVA_OPTIONS=-Xmx2g and run it again.");
      return ExitCode.NOTHING;
    }
  }

  /** All commands, speaking on given streams. */
  static CommandLine commandLine(Terminal terminal, PrintWriter err) {
    CommandLine commandLine = new CommandLine(new Hardpan());
    commandLine.addSubcommand("inspect", new InspectCommand(terminal));
    commandLine.addSubcommand("split", new SplitCommand(terminal));
    commandLine.addSubcommand("lineup", new LineupCommand(terminal));
    commandLine.addSubcommand("handover", new HandoverCommand(terminal));
    commandLine.addSubcommand("verify", new VerifyCommand(terminal));
    commandLine.addSubcommand("pad", new PadCommand(terminal));
    commandLine.addSubcommand("desk", new DeskCommand(terminal));
    commandLine.addSubcommand("demo", new DemoCommand(terminal));
    commandLine.addSubcommand("bench", new BenchCommand(terminal));
    commandLine.setOut(terminal.out());
    commandLine.setErr(err);
    commandLine.setExecutionExceptionHandler(
        (failure, command, parsed) -> {
          terminal.complain(
              "A fault in the program itself, not in your files: "
                  + failure
                  + " Please report it; nothing was left half-done.");
          return ExitCode.NOTHING;
        });
    return commandLine;
  }
}
