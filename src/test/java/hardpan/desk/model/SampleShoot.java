package hardpan.desk.model;

import hardpan.media.SourceFacts;
import hardpan.media.SourceFinder;
import hardpan.report.ChannelReport;
import hardpan.report.ClippingReport;
import hardpan.report.ErrorReport;
import hardpan.report.FindingReport;
import hardpan.report.LaneReport;
import hardpan.report.OverloadReport;
import hardpan.report.PairReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.report.SpanReport;
import hardpan.shoot.Intake;
import hardpan.shoot.Run;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** An invented shoot: the rehearsal of the Brandal brass band. */
final class SampleShoot {
  static final String REFERENCE = "REC/hall.wav";

  private SampleShoot() {}

  static Report report() {
    return Report.of(
        "Hardpan test",
        OffsetDateTime.parse("2026-05-03T20:00:00Z"),
        REFERENCE,
        List.of(
            source("CAM-A/one.mov", "CAM-A", 60, pair(PairReport.Verdict.ISOLATED), place(-5), 0),
            source("CAM-A/two.mov", "CAM-A", 60, pair(PairReport.Verdict.INVERTED), place(100), 1),
            source("CAM-B/hot.mp4", "CAM-B", 120, pair(PairReport.Verdict.STEREO), place(40), 2),
            source(
                "CAM-C/odd.mp4",
                "CAM-C",
                30,
                pair(PairReport.Verdict.ONE_SILENT),
                PlacementReport.unplaced(0.9, "No common sound."),
                0),
            SourceReport.unreadable(
                "CAM-C/cut.mp4",
                SourceReport.Kind.CLIP,
                "CAM-C",
                new ErrorReport(ErrorReport.Code.MALFORMED, "It ends too early.")),
            source(REFERENCE, "REC", 200, null, null, 0)),
        List.of());
  }

  /** The same with so many lanes written. */
  static Report withLanes(int count) {
    Report report = report();
    List<LaneReport> lanes = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      lanes.add(lane("lanes/x" + i + ".wav"));
    }
    return Report.of(report.madeBy(), report.madeAt(), report.reference(), report.sources(), lanes);
  }

  private static LaneReport lane(String file) {
    return new LaneReport(
        file,
        0,
        0L,
        48_000L,
        "x",
        "voice",
        REFERENCE,
        List.of(0),
        0L,
        0L,
        48_000,
        24,
        LaneReport.SampleFormat.PCM,
        48_000L,
        false,
        0,
        0,
        "0".repeat(64));
  }

  static Shoot shoot() {
    return shoot(report(), List.of());
  }

  /** A shoot that a report could be of. */
  static Shoot shoot(Report report, List<Run> runs) {
    return new Shoot(
        "brandal",
        report.sources().stream()
            .map(
                source ->
                    new ShootSource(
                        Path.of(source.path()),
                        source.path(),
                        SourceFacts.Kind.CLIP,
                        String.valueOf(source.device()),
                        1,
                        null,
                        null,
                        null))
            .toList(),
        List.of(new SourceFinder.LeftOut(Path.of("notes.txt"), "notes.txt", "not media")),
        report.reference(),
        Intake.NONE,
        runs);
  }

  static ShownShoot shown() {
    return new ShownShoot(shoot(), report());
  }

  static PairReport pair(PairReport.Verdict verdict) {
    return new PairReport(verdict, 0.9, 0.5, -1.0, 0.0, null);
  }

  static PlacementReport place(double offsetSeconds) {
    return new PlacementReport(
        PlacementReport.State.PLACED,
        offsetSeconds,
        0.0,
        false,
        0.99,
        0.01,
        30.0,
        List.of(),
        "12 of 12 windows agree.");
  }

  static SourceReport source(
      String path,
      String device,
      double seconds,
      @Nullable PairReport pair,
      @Nullable PlacementReport placement,
      int flaw) {
    return source(path, device, seconds, null, pair, placement, flaw);
  }

  /** The reference, which began at a time of day. */
  static SourceReport reference(OffsetDateTime startedAt) {
    return source(REFERENCE, "REC", 200, startedAt, null, null, 0);
  }

  private static SourceReport source(
      String path,
      String device,
      double seconds,
      @Nullable OffsetDateTime startedAt,
      @Nullable PairReport pair,
      @Nullable PlacementReport placement,
      int flaw) {
    return new SourceReport(
        path,
        pair == null ? SourceReport.Kind.RECORDING : SourceReport.Kind.CLIP,
        "mov",
        "pcm_s16le",
        48_000,
        16,
        2,
        Math.round(seconds * 48_000),
        seconds,
        startedAt,
        null,
        device,
        device + "#1",
        1,
        SourceReport.Reader.NATIVE,
        null,
        pair,
        List.of(channel(0, "left", flaw), channel(1, "right", flaw)),
        placement);
  }

  private static ChannelReport channel(int index, String name, int flaw) {
    SpanReport span = new SpanReport(10, 20);
    FindingReport low =
        new FindingReport(
            "too-low",
            FindingReport.Severity.WARNING,
            List.of(span),
            Map.of(),
            "Recorded very low.",
            "Raise the gain.");
    return new ChannelReport(
        index,
        name,
        -6.04,
        -5.9,
        null,
        -23.5,
        4.0,
        -18.2,
        -20.6,
        -60.0,
        0.0,
        flaw == 2 ? new ClippingReport(true, -1.0, 3.5, List.of(span)) : ClippingReport.none(),
        OverloadReport.none(0.9),
        flaw == 1 ? List.of(low) : List.of());
  }
}
