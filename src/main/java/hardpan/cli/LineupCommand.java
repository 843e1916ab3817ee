package hardpan.cli;

import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Facts, verdicts and places; nothing is written. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "Find where every source sits on the reference's clock.")
final class LineupCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Mixin private CommonOptions options = new CommonOptions();
  @Mixin private LineUpOptions lineUp = new LineUpOptions();

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "Line up to this source instead of the longest recording.")
  private @Nullable Path reference;

  LineupCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    Job job = new Job(terminal, options);
    return job.run(
        steps -> {
          Wishes given = lineUp.wishes(job.devices());
          if (lineUp.forget) {
            steps.forget();
          }
          Shoot found = steps.find(job.roots(reference), given.devices());
          ShootSteps.checkReference(found, reference);
          given.check(found);
          Wishes wishes = steps.wishes(given);
          Shoot placed = steps.lineUp(steps.read(found), reference, wishes);
          job.keep(steps, placed, reference, wishes);
          return job.print(placed);
        });
  }
}
