package hardpan.cli;

import hardpan.shoot.HandOver;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** The whole job. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "The whole job: read, check, line up, split, write, report.")
final class HandoverCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Mixin private CommonOptions options = new CommonOptions();
  @Mixin private WriteOptions write = new WriteOptions();
  @Mixin private LineUpOptions lineUp = new LineUpOptions();

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "Line up to this source instead of the longest recording.")
  private @Nullable Path reference;

  HandoverCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    Job job = new Job(terminal, options);
    return job.run(
        steps -> {
          HandOver.check(write.target, write.replace, options.paths);
          Wishes given = lineUp.wishes(job.devices());
          if (lineUp.forget) {
            steps.forget();
          }
          Shoot found = steps.find(job.roots(reference), given.devices());
          ShootSteps.checkReference(found, reference);
          given.check(found);
          HandOver.check(write.target, write.replace, found.files());
          Wishes wishes = steps.wishes(given);
          return job.handOver(steps.lineUp(steps.read(found), reference, wishes), write);
        });
  }
}
