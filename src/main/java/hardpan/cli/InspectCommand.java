package hardpan.cli;

import hardpan.shoot.Shoot;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** Facts and verdicts; nothing is lined up, nothing is written. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "Read the sources and say what they are and what is wrong with them.")
final class InspectCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Mixin private CommonOptions options = new CommonOptions();

  InspectCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    Job job = new Job(terminal, options);
    return job.run(
        steps -> {
          Shoot read = steps.read(steps.find(options.paths, job.devices()));
          steps.keep(read, options.paths, null);
          return job.print(read);
        });
  }
}
