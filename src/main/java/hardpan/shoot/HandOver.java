package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.Lane;
import hardpan.lanes.LaneClock;
import hardpan.lanes.LaneLabels;
import hardpan.lanes.LanePlanner;
import hardpan.lanes.LaneSource;
import hardpan.lanes.LaneWriter;
import hardpan.lanes.WrittenLane;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.report.PageExtras;
import hardpan.report.Report;
import hardpan.report.ReportJson;
import hardpan.report.ReportPage;
import hardpan.report.Sentences;
import hardpan.report.SourcePicture;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ConcurrentHashMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** Writes the hand-over folder of a shoot. */
public final class HandOver {
  private static final int PICTURE_COLUMNS = 800;

  private final Shoot shoot;
  private final Options options;
  private final Monitor monitor;

  /** Lanes that could not be read to the end, by what the lanes call their source. */
  private final Map<String, MediaException> failures = new ConcurrentHashMap<>();

  /**
   * How to hand over.
   *
   * @param target the folder to make
   * @param replace whether an earlier hand-over of that name may be replaced
   * @param correction when clocks are corrected
   * @param choice which reader
   * @param madeAt time to put on it
   */
  public record Options(
      Path target,
      boolean replace,
      DriftCorrection correction,
      ReaderChoice choice,
      OffsetDateTime madeAt) {}

  /**
   * What came of it.
   *
   * @param shoot the shoot; sources that failed while their lanes were written carry the error
   * @param report the report as written
   * @param leftOver where the replaced hand-over lies, if it could not be removed; else null
   */
  public record Result(Shoot shoot, Report report, @Nullable Path leftOver) {}

  private HandOver(Shoot shoot, Options options, Monitor monitor) {
    this.shoot = shoot;
    this.options = options;
    this.monitor = monitor;
  }

  /**
   * Looks whether a hand-over could be made, before any long work.
   *
   * @param sources the given folders and files, or the sources found in them: none may lie inside
   *     the target
   * @throws ShootException if the target is in the way, holds sources or cannot be written
   */
  public static void check(Path target, boolean replace, List<Path> sources) throws ShootException {
    HandOverFolder.check(target, replace, sources);
  }

  /**
   * Writes the folder: first under another name beside the target, then moved into place. On
   * failure and on cancel nothing is left.
   *
   * @throws ShootException if it cannot be written
   * @throws CancellationException if cancelled
   */
  public static Result write(Shoot shoot, Options options, Monitor monitor) throws ShootException {
    return new HandOver(shoot, options, monitor).run();
  }

  private Result run() throws ShootException {
    try (HandOverFolder folder =
        HandOverFolder.begin(options.target(), options.replace(), shoot.files())) {
      Path lanesFolder = Files.createDirectory(folder.work().resolve(ReportMaker.LANES_FOLDER));
      List<LaneSource> laneSources = laneSources();
      List<Lane> lanes = LanePlanner.plan(laneSources, options.correction(), referenceRateHz());
      folder.checkSpace(bytesNeeded(lanes));
      List<WrittenLane> written = writeLanes(lanes, lanesFolder);
      Shoot finished = withFailures();
      Report report = ReportMaker.report(finished, written, options.madeAt());
      monitor.progress("writing the report", 0.97);
      Files.writeString(
          folder.work().resolve("report.json"), ReportJson.toText(report), StandardCharsets.UTF_8);
      Files.writeString(
          folder.work().resolve("report.html"),
          ReportPage.html(report, pictures(), extras(written)),
          StandardCharsets.UTF_8);
      writeChecksums(folder.work(), written);
      monitor.checkCancelled();
      Path leftOver = folder.finish();
      monitor.progress("done", 1);
      return new Result(finished, report, leftOver);
    } catch (ShootException | RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          "The hand-over could not be written to "
              + options.target()
              + ": "
              + HandOverFolder.plain(e)
              + " Nothing was left there.",
          e);
    }
  }

  private int referenceRateHz() {
    return shoot.reference().map(ShootSource::analysis).map(a -> a.facts().rateHz()).orElse(48_000);
  }

  private List<LaneSource> laneSources() {
    List<LaneSource> sources = new ArrayList<>();
    for (Run run : shoot.allRuns()) {
      if (!RunPiece.isReadable(shoot, run)) {
        continue;
      }
      RunPiece piece = new RunPiece(shoot, run, options.choice());
      sources.add(
          new LaneSource(
              run.laneSource(),
              run.paths(),
              run.device(),
              run.number(),
              piece.facts(),
              piece.frameCount(),
              piece.verdicts(),
              piece.placement(),
              run.firstPath().equals(shoot.referencePath()),
              piece::open));
    }
    return sources;
  }

  private static long bytesNeeded(List<Lane> lanes) {
    double bytes = 1 << 20;
    for (Lane lane : lanes) {
      double seconds = (double) lane.source().frameCount() / lane.source().facts().rateHz() + 1;
      bytes += seconds * lane.format().rateHz() * lane.format().bits() / 8 + 65_536;
    }
    return (long) bytes;
  }

  private List<WrittenLane> writeLanes(List<Lane> lanes, Path folder) throws Exception {
    LaneClock clock = LaneClock.of(referenceFacts(), lanes);
    LaneLabels labels = new LaneLabels(shoot.name(), Version.madeBy(), options.madeAt());
    LaneWriter writer = new LaneWriter(clock, labels);
    Map<String, List<Lane>> bySource = new LinkedHashMap<>();
    for (Lane lane : lanes) {
      bySource.computeIfAbsent(lane.source().path(), path -> new ArrayList<>()).add(lane);
    }
    List<List<WrittenLane>> written =
        Crew.all(
            List.copyOf(bySource.values()),
            "writing lanes",
            ShootSteps.LINED_UP,
            0.97,
            monitor,
            (own, ownMonitor) -> writeSource(writer, own, folder, ownMonitor));
    return written.stream().flatMap(List::stream).toList();
  }

  /** A source that fails now costs its own lanes only. */
  private List<WrittenLane> writeSource(
      LaneWriter writer, List<Lane> lanes, Path folder, Monitor own) throws IOException {
    try {
      return writer.write(lanes, folder, own);
    } catch (MediaException e) {
      for (Lane lane : lanes) {
        Files.deleteIfExists(folder.resolve(lane.fileName()));
      }
      failures.put(lanes.get(0).source().path(), e);
      return List.of();
    }
  }

  private @Nullable SourceFacts referenceFacts() {
    Analysis analysis = shoot.reference().map(ShootSource::analysis).orElse(null);
    return analysis == null ? null : analysis.facts();
  }

  private Shoot withFailures() {
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      MediaException failure = failures.get(shoot.runOf(source).laneSource());
      sources.add(failure == null ? source : source.failed(failure));
    }
    return shoot.withSources(sources);
  }

  private Map<String, SourcePicture> pictures() {
    Map<String, SourcePicture> pictures = new HashMap<>();
    for (ShootSource source : shoot.sources()) {
      Analysis analysis = source.analysis();
      if (analysis != null) {
        Overview overview = analysis.overview();
        pictures.put(
            source.path(),
            new SourcePicture(overview.minima(PICTURE_COLUMNS), overview.maxima(PICTURE_COLUMNS)));
      }
    }
    return pictures;
  }

  private PageExtras extras(List<WrittenLane> written) {
    double seconds = 0;
    for (ShootSource source : shoot.sources()) {
      Analysis analysis = source.analysis();
      seconds += analysis == null ? 0 : analysis.durationSeconds();
    }
    return new PageExtras(
        shoot.name(),
        shoot.leftOut().stream()
            .map(left -> new PageExtras.LeftOut(left.relativePath(), left.reason()))
            .toList(),
        Sentences.usualCautions(),
        List.of(
            new PageExtras.Total("Sound read", Math.round(seconds) + " s"),
            new PageExtras.Total("Lanes written", Integer.toString(written.size()))));
  }

  /** Lanes were read back for their checksums already. */
  private static void writeChecksums(Path folder, List<WrittenLane> written) throws IOException {
    Map<String, String> known = new HashMap<>();
    for (WrittenLane lane : written) {
      known.put(ReportMaker.LANES_FOLDER + "/" + lane.lane().fileName(), lane.sha256());
    }
    List<String> lines = new ArrayList<>();
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
        String relative = folder.relativize(file).toString().replace('\\', '/');
        String sum = known.get(relative);
        lines.add((sum == null ? Checksum.sha256(file) : sum) + "  " + relative + "\n");
      }
    }
    Files.writeString(
        folder.resolve(HandOverFolder.CHECKSUMS), String.join("", lines), StandardCharsets.UTF_8);
  }
}
