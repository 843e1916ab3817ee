package hardpan.cli;

import hardpan.report.PadSums;
import hardpan.report.Sentences;
import java.io.PrintWriter;
import java.util.OptionalInt;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** Level sums for attenuators. */
@Command(
    mixinStandardHelpOptions = true,
    description = "Do the sums for an attenuator between a line output and a microphone input.")
final class PadCommand implements Callable<Integer> {
  private static final double COMMON_PAD_DB = 35;

  private final Terminal terminal;

  @Option(
      names = "--source",
      paramLabel = "DBU",
      defaultValue = "4",
      description = "Level of the source in dBu. Default: ${DEFAULT-VALUE} (console line output).")
  private double sourceDbu;

  @Option(
      names = "--pad",
      paramLabel = "DB",
      description = "Attenuation in dB. Default: what --excess asks for, else 35.")
  private @Nullable Double padDb;

  @Option(
      names = "--excess",
      paramLabel = "DB",
      description = "By how much a clip was too hot, as the report says.")
  private @Nullable Double excessDb;

  PadCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    PrintWriter out = terminal.out();
    double pad = COMMON_PAD_DB;
    if (excessDb != null) {
      out.println(PadSums.adviceSentence(excessDb));
      OptionalInt usual = PadSums.usualPadDb(excessDb);
      pad = usual.isPresent() ? usual.getAsInt() : COMMON_PAD_DB;
    }
    out.println(PadSums.sentence(sourceDbu, padDb != null ? padDb : pad));
    for (String caution : Sentences.usualCautions()) {
      out.println(caution);
    }
    out.flush();
    return ExitCode.DONE;
  }
}
