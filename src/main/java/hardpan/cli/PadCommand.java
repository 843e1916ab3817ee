package hardpan.cli;

import hardpan.report.PadSums;
import hardpan.report.Sentences;
import java.io.PrintWriter;
import java.util.Locale;
import java.util.OptionalInt;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Level sums for attenuators. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "Do the sums for an attenuator between a line output and a microphone input.")
final class PadCommand implements Callable<Integer> {
  private static final double COMMON_PAD_DB = 35;

  /** No level or attenuation in this trade is larger. */
  private static final double LARGEST_DB = 100;

  private final Terminal terminal;

  @Option(
      names = "--source",
      paramLabel = "LEVEL",
      defaultValue = "4",
      converter = LevelConverter.class,
      description = {
        "Level of the source in dBu, or with its unit: -10dBV, 1.2V, 200mV.",
        "Default: ${DEFAULT-VALUE} (console line output)."
      })
  private double sourceDbu;

  @Option(
      names = "--input",
      paramLabel = "LEVEL",
      converter = LevelConverter.class,
      description = "Level that the input takes, written as for --source; tells the pad needed.")
  private @Nullable Double inputDbu;

  @Option(
      names = "--pad",
      paramLabel = "DB",
      description = "Attenuation in dB. Default: what fits --excess or --input; without them 35.")
  private @Nullable Double padDb;

  @Option(
      names = "--excess",
      paramLabel = "DB",
      description = "By how much a clip was too hot, as the report says.")
  private @Nullable Double excessDb;

  @Spec private CommandSpec spec = CommandSpec.create();

  PadCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    PrintWriter out = terminal.out();
    checkRange("--source", sourceDbu, -LARGEST_DB, LARGEST_DB);
    checkRange("--input", inputDbu, -LARGEST_DB, LARGEST_DB);
    checkRange("--pad", padDb, 0, LARGEST_DB);
    checkRange("--excess", excessDb, -LARGEST_DB, LARGEST_DB);
    Double pad = padDb;
    if (excessDb != null) {
      out.println(PadSums.adviceSentence(excessDb));
      OptionalInt usual = PadSums.usualPadDb(excessDb);
      // Without a usual pad that fits there is no sum to do, unless one is asked for.
      pad = pad == null && usual.isPresent() ? Double.valueOf(usual.getAsInt()) : pad;
    }
    if (inputDbu != null) {
      out.println(PadSums.inputSentence(sourceDbu, inputDbu));
      OptionalInt usual = PadSums.inputPadDb(sourceDbu, inputDbu);
      if (pad == null && excessDb == null && usual.isPresent()) {
        pad = (double) usual.getAsInt();
      }
    } else if (pad == null && excessDb == null) {
      pad = COMMON_PAD_DB;
    }
    if (pad != null) {
      out.println(PadSums.sentence(sourceDbu, pad));
    }
    for (String caution : Sentences.usualCautions()) {
      out.println(caution);
    }
    out.flush();
    return ExitCode.DONE;
  }

  private void checkRange(String option, @Nullable Double value, double from, double to) {
    if (value != null && !(value >= from && value <= to)) {
      throw new ParameterException(
          spec.commandLine(),
          String.format(Locale.ROOT, "%s takes %.0f to %.0f, not %s", option, from, to, value));
    }
  }
}
