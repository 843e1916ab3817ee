package hardpan.shoot;

import hardpan.lanes.Checksum;
import hardpan.lanes.WrittenLane;
import hardpan.lineup.Placement;
import hardpan.report.Original;
import hardpan.report.PageExtras;
import hardpan.report.Report;
import hardpan.report.ReportJson;
import hardpan.report.ReportPage;
import hardpan.report.Sentences;
import hardpan.report.SourcePicture;
import hardpan.report.Tables;
import hardpan.report.Timeline;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** What a hand-over holds beside its lanes. */
final class HandOverPapers {
  /** Checksums of the originals. */
  static final String SOURCE_CHECKSUMS = "source-checksums.txt";

  private static final int PICTURE_COLUMNS = 800;

  private final Path folder;
  private final Shoot shoot;
  private final Report report;

  /** For a folder that exists. */
  HandOverPapers(Path folder, Shoot shoot, Report report) {
    this.folder = folder;
    this.shoot = shoot;
    this.report = report;
  }

  /** The report for programs and for people. */
  void writeReport() throws IOException {
    write("report.json", ReportJson.toText(report));
    write("report.html", ReportPage.html(report, pictures(), extras()));
  }

  /** The timeline, if there is a common clock, and the tables. */
  void writeTables(Map<String, Original> originals) throws IOException {
    Optional<String> timeline = Timeline.otio(report, shoot.name(), originals);
    if (timeline.isPresent()) {
      write("timeline.otio", timeline.get());
    }
    write("placements.csv", Tables.placements(report, originals));
    write("findings.csv", Tables.findings(report));
  }

  /** The checksums of the originals, as {@link SourceSums} made them. */
  void writeSourceSums(String text) throws IOException {
    write(SOURCE_CHECKSUMS, text);
  }

  /** The list of all other files, last. Lanes were read back for their checksums already. */
  void writeChecksums(List<WrittenLane> written) throws IOException {
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
    write(HandOverFolder.CHECKSUMS, String.join("", lines));
  }

  private void write(String name, String text) throws IOException {
    Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
  }

  private Map<String, SourcePicture> pictures() {
    Map<String, SourcePicture> pictures = new HashMap<>();
    for (ShootSource source : shoot.sources()) {
      Analysis analysis = source.analysis();
      if (analysis != null) {
        Overview overview = analysis.overview();
        pictures.put(
            source.path(),
            new SourcePicture(
                overview.minima(PICTURE_COLUMNS),
                overview.maxima(PICTURE_COLUMNS),
                residuals(source.placement())));
      }
    }
    return pictures;
  }

  /** How far the windows of a placement lie from its line. */
  private static List<SourcePicture.Residual> residuals(@Nullable Placement placement) {
    Double offset = placement == null ? null : placement.offsetSeconds();
    Double drift = placement == null ? null : placement.driftPpm();
    if (placement == null || offset == null || drift == null) {
      return List.of();
    }
    List<SourcePicture.Residual> residuals = new ArrayList<>();
    for (Placement.Window window : placement.windows()) {
      double wanted = offset + window.sourceSeconds() * drift * 1e-6;
      residuals.add(
          new SourcePicture.Residual(
              window.sourceSeconds(), (window.delaySeconds() - wanted) * 1000, window.counted()));
    }
    return residuals;
  }

  private PageExtras extras() {
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
            new PageExtras.Total("Lanes written", Integer.toString(report.trackCount()))));
  }
}
