package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.demo.DemoCheck;
import hardpan.demo.DemoMaker;
import hardpan.demo.DemoShoot;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.report.ChannelReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.shoot.HandOver;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSteps;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** The main job on the demo shoot, compared with what is true about it. */
@Command(
    mixinStandardHelpOptions = true,
    versionProvider = Hardpan.VersionText.class,
    description = {
      "Make the demo shoot if it is not there yet, hand it over, and print how close the result"
          + " comes to the truth.",
      "Exit code 0: every answer is right."
    })
final class DemoCommand implements Callable<Integer> {
  /** Set by the launcher: the folder Hardpan lies in. */
  private static final String HOME_PROPERTY = "hardpan.home";

  private final Terminal terminal;

  @Option(
      names = "--out",
      paramLabel = "DIR",
      defaultValue = "demo-handover",
      description = "The hand-over to make; an earlier one is replaced. Default: ${DEFAULT-VALUE}.")
  private Path target = Path.of("demo-handover");

  @Option(names = "--quiet", description = "Print only the comparison.")
  private boolean quiet;

  @Option(
      names = "--shoot",
      paramLabel = "DIR",
      description = "Where the demo shoot lies. Default: sample-media in Hardpan's own folder.")
  private @Nullable Path shootFolder;

  DemoCommand(Terminal terminal) {
    this.terminal = terminal;
  }

  @Override
  public Integer call() {
    CommonOptions options = new CommonOptions();
    options.quiet = quiet;
    Job job = new Job(terminal, options);
    return job.run(steps -> run(job, steps));
  }

  private int run(Job job, ShootSteps steps) throws ShootException {
    Path home = Path.of(System.getProperty(HOME_PROPERTY, ""));
    Path folder =
        shootFolder == null ? home.resolve("sample-media").resolve(DemoShoot.NAME) : shootFolder;
    HandOver.check(target, true, List.of(folder.resolve("media")));
    Path media = make(folder);
    Shoot found = steps.find(List.of(media)).named(DemoShoot.NAME);
    Shoot shoot = steps.lineUp(steps.read(found), null);
    WriteOptions write = new WriteOptions();
    write.target = target;
    write.replace = true;
    Report report =
        HandOver.write(
                shoot,
                write.forHandOver(job.reader(), Layout.CLIP, LaneChoices.NONE, true),
                terminal)
            .report();
    job.print(report);
    List<DemoCheck.Row> rows = DemoCheck.compare(DemoShoot.truth(), found(report));
    print(rows);
    return rows.stream().allMatch(DemoCheck.Row::ok) ? ExitCode.DONE : ExitCode.PARTLY;
  }

  private Path make(Path folder) throws ShootException {
    try {
      return DemoMaker.ensure(folder, terminal);
    } catch (MediaException e) {
      throw new ShootException(ShootException.Reason.NOTHING_DONE, e.sentence(), e);
    }
  }

  private static Map<String, DemoCheck.Found> found(Report report) {
    Map<String, DemoCheck.Found> found = new LinkedHashMap<>();
    for (SourceReport source : report.sources()) {
      PlacementReport placement = source.placement();
      List<String> overloads =
          source.channels().stream()
              .map(ChannelReport::overload)
              .map(overload -> overload.verdict().word())
              .toList();
      String pair = source.pair() == null ? null : source.pair().verdict().word();
      found.put(
          source.path(),
          placement == null
              ? new DemoCheck.Found(null, null, null, null, pair, overloads)
              : new DemoCheck.Found(
                  placement.state().word(),
                  placement.offsetSeconds(),
                  placement.driftPpm(),
                  placement.inverted(),
                  pair,
                  overloads));
    }
    return found;
  }

  private void print(List<DemoCheck.Row> rows) {
    PrintWriter out = terminal.out();
    out.println();
    out.println("COMPARED WITH THE TRUTH (errors in ms at the clip's start, middle and end)");
    for (DemoCheck.Row row : rows) {
      out.printf(
          Locale.ROOT,
          "  %-5s %-20s %-9s %s%n",
          row.ok() ? "right" : "WRONG",
          row.path(),
          row.question(),
          answer(row));
    }
    long right = rows.stream().filter(DemoCheck.Row::ok).count();
    out.printf("%d of %d answers are right.%n", right, rows.size());
    out.println();
    out.println(
        "Look at "
            + target.resolve("report.html")
            + " and listen to "
            + target.resolve("lanes")
            + ".");
    out.println("Turn the listening level down first: one clip is far too hot.");
    out.flush();
  }

  private static String answer(DemoCheck.Row row) {
    Double start = row.startErrorMs();
    Double middle = row.middleErrorMs();
    Double end = row.endErrorMs();
    if (start != null && middle != null && end != null) {
      return String.format(Locale.ROOT, "%+.4f %+.4f %+.4f", start, middle, end);
    }
    return row.ok() ? row.got() : row.got() + ", not " + row.expected();
  }
}
