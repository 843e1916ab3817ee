package hardpan.cli;

import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.shoot.HandOver;
import hardpan.shoot.Shoot;
import hardpan.shoot.Wishes;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Mono tracks without a line-up. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = "Split the sources into named mono tracks without lining them up.")
final class SplitCommand implements Callable<Integer> {
  private final Terminal terminal;

  @Mixin private CommonOptions options = new CommonOptions();
  @Mixin private WriteOptions write = new WriteOptions();
  @Mixin private LaneOptions lanes = new LaneOptions();

  @Option(
      names = "--unchecked",
      description =
          "Write every channel as it is without listening to it: no verdicts, no findings, no"
              + " loudness.")
  private boolean unchecked;

  SplitCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    Job job = new Job(terminal, options);
    return job.run(
        steps -> {
          HandOver.check(write.target, write.replace, options.paths);
          Shoot found = steps.find(options.paths, job.devices());
          Wishes given = Wishes.NONE.withLanes(lanes.choices());
          given.check(found);
          HandOver.check(write.target, write.replace, found.files());
          LaneChoices all = steps.wishes(given).lanes();
          return unchecked
              ? job.handOver(steps.takeUnchecked(found), write, Layout.CLIP, all, false)
              : job.handOver(steps.read(found), write, Layout.CLIP, all, true);
        });
  }
}
