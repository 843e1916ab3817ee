package hardpan.cli;

import hardpan.lanes.Layout;
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
  @Mixin private LaneOptions lanes = new LaneOptions();

  @Option(
      names = "--reference",
      paramLabel = "FILE",
      description = "Line up to this source instead of the longest recording.")
  private @Nullable Path reference;

  @Option(
      names = "--layout",
      paramLabel = "HOW",
      defaultValue = "clip",
      converter = WriteOptions.LayoutConverter.class,
      description =
          "clip: every lane is as long as its clip; start: all begin at one instant and are equally"
              + " long; device: one lane for each device and channel over the whole shoot."
              + " Default: clip.")
  private Layout layout = Layout.CLIP;

  HandoverCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    Job job = new Job(terminal, options);
    return job.run(
        steps -> {
          HandOver.check(write.target, write.replace, options.paths);
          Wishes given = lineUp.wishes(job.devices()).withLanes(lanes.choices());
          if (lineUp.forget) {
            steps.forget();
          }
          Shoot found = steps.find(job.roots(reference), given.devices());
          ShootSteps.checkReference(found, reference);
          given.check(found);
          HandOver.check(write.target, write.replace, found.files());
          Wishes wishes = steps.wishes(given);
          Shoot placed = steps.lineUp(steps.read(found), reference, wishes);
          job.keep(steps, placed, reference, wishes);
          return job.handOver(placed, write, layout, wishes.lanes(), true);
        });
  }
}
