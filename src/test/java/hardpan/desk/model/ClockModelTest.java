package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.report.FindingReport.Severity;
import hardpan.report.OtherPlaceReport;
import hardpan.report.PairReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.shoot.Run;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class ClockModelTest {
  private final ShownShoot shown = SampleShoot.shown();
  private final ClockModel clock = shown.clock();

  @Test
  void theReferenceComesFirstAndEveryDeviceHasOneBand() {
    assertEquals(
        List.of("REC", "CAM-A", "CAM-B"),
        clock.bands().stream().map(ClockModel.Band::device).toList());
  }

  @Test
  void clipsOfOneDeviceShareARowWhileTheyDoNotOverlap() {
    List<List<ClockRun>> rows = clock.bands().get(1).rows();
    assertEquals(1, rows.size());
    assertEquals(List.of(-5.0, 100.0), rows.get(0).stream().map(ClockRun::startSeconds).toList());
    assertEquals(55.0, rows.get(0).get(0).endSeconds());
  }

  @Test
  void theClockReachesFromTheEarliestToTheLatest() {
    assertEquals(-5, clock.firstSecond());
    assertEquals(200, clock.lastSecond());
  }

  @Test
  void whatHasNoPlaceStandsAsideWithItsReason() {
    assertEquals(
        List.of("No common sound.", "Damaged: It ends too early."),
        clock.tray().stream().map(ClockItem::reason).toList());
  }

  @Test
  void findingsLieWhereTheyAreOnTheReference() {
    ClockItem hot = clock.bands().get(2).rows().get(0).get(0).items().get(0);
    Flag flag = hot.flags().get(0);
    assertEquals(Severity.FAULT, flag.severity());
    assertEquals(new Flag.Stretch(50, 60), flag.stretches().get(0));
    assertEquals("tops cut off", hot.flagWords());
  }

  @Test
  void theWorstIsNamedFirst() {
    ClockItem two = clock.bands().get(1).rows().get(0).get(1).items().get(0);
    assertEquals("one signal, opposite polarity; recorded too low", two.flagWords());
  }

  @Test
  void thePictureCanBeListenedTo() {
    assertTrue(clock.spoken(null).contains("3 devices, 6 sources, 2 of them without a place"));
    String two = clock.spoken(shown.rows().get(1));
    assertTrue(two.startsWith("Source 2, two.mov of CAM-A, from 1:40.0 to 2:40.0"), two);
    assertTrue(two.contains("opposite polarity"), two);
    assertTrue(clock.spoken(shown.rows().get(4)).contains("It ends too early."));
  }

  private static ClockModel clock(List<SourceReport> sources, List<Run> runs) {
    Report report =
        Report.of(
            "Hardpan test",
            OffsetDateTime.parse("2026-05-03T20:00:00Z"),
            SampleShoot.REFERENCE,
            sources,
            List.of());
    return new ShownShoot(SampleShoot.shoot(report, runs), report).clock();
  }

  private static SourceReport part(String path, double seconds, double offset) {
    return SampleShoot.source(
        path,
        "CAM-A",
        seconds,
        SampleShoot.pair(PairReport.Verdict.ISOLATED),
        SampleShoot.place(offset),
        0);
  }

  private static final SourceReport HALL =
      SampleShoot.source(SampleShoot.REFERENCE, "REC", 200, null, null, 0);

  @Test
  void theTimeOfDayIsTheReferencesOwnWhereItIsKnown() {
    assertEquals(Optional.empty(), clock.dayClock());
    OffsetDateTime began = OffsetDateTime.parse("2026-05-03T18:30:05+02:00");
    ClockModel known =
        clock(List.of(SampleShoot.reference(began), part("one.mov", 60, 10)), List.of());
    assertEquals("18:31:05", known.dayClock().orElseThrow().words(60));
  }

  /** Two files side by side, and what comes after them in two more. */
  @Test
  void filesRecordedInPartsAreOneRun() {
    Run run =
        new Run(
            "CAM-A",
            1,
            List.of(
                new Run.Part(List.of("a1.wav", "b1.wav"), 0, 60 * 48_000L),
                new Run.Part(List.of("a2.wav", "b2.wav"), 60 * 48_000L, 30 * 48_000L)),
            List.of(new Run.Join(true, false, "The sound goes on")));
    ClockModel model =
        clock(
            List.of(
                part("a1.wav", 60, 10),
                part("b1.wav", 60, 10),
                part("a2.wav", 30, 70),
                part("b2.wav", 30, 70),
                part("c.wav", 20, 100),
                HALL),
            List.of(run));
    assertEquals(2, model.bands().size());
    List<ClockRun> row = model.bands().get(1).rows().get(0);
    assertEquals(2, row.size());
    ClockRun joined = row.get(0);
    assertEquals(4, joined.items().size());
    assertEquals(10, joined.startSeconds());
    assertEquals(100, joined.endSeconds());
    assertEquals(4, joined.strips());
    assertEquals(List.of(0, 2, 0, 2), joined.items().stream().map(ClockItem::firstStrip).toList());
    assertEquals("1\u20134  a1.wav and on, 4 files, one recording", joined.title());
    ClockLayout layout = new ClockLayout(model, 1);
    List<ClockLayout.Box> boxes = layout.boxes().subList(1, 5);
    assertEquals(boxes.get(0).y(), boxes.get(2).y());
    assertEquals(boxes.get(0).y() + boxes.get(0).height(), boxes.get(1).y());
    assertEquals(
        List.of(false, false, true, true), boxes.stream().map(ClockLayout.Box::goesOn).toList());
    assertEquals("5 files, 2 recordings", model.bands().get(1).summary());
  }

  @Test
  void whatFitsTwiceIsInTheTrayWithItsPlaces() {
    PlacementReport twice =
        new PlacementReport(
            PlacementReport.State.AMBIGUOUS,
            61.25,
            0.0,
            false,
            0.5,
            0.1,
            30.0,
            List.of(),
            "Two places fit about equally well: 61.250 s and 30.000 s; the same sound was played"
                + " more than once.",
            List.of(new OtherPlaceReport(-7.5, 0, false, 0.5)),
            PlacementReport.Basis.SOUND,
            null,
            null);
    SourceReport odd =
        SampleShoot.source(
            "odd.mov", "CAM-A", 30, SampleShoot.pair(PairReport.Verdict.ISOLATED), twice, 0);
    ClockModel model = clock(List.of(odd, HALL), List.of());
    assertEquals(1, model.bands().size());
    ClockItem item = model.tray().get(0);
    assertEquals(List.of(-7.5, 61.25), item.placesSeconds());
    assertTrue(item.reason().startsWith("Two places fit"), item.reason());
  }

  @Test
  void findingsAreReachedOneAfterAnother() {
    List<String> onwards = reached(true);
    assertEquals(
        List.of(
            "50.0 tops cut off", "100.0 one signal, opposite polarity", "110.0 recorded too low"),
        onwards);
    List<String> back = new ArrayList<>(reached(false));
    Collections.reverse(back);
    assertEquals(onwards, back);
  }

  /** What begins together, and what holds for the whole clip, is reached too. */
  @Test
  void findingsOfOneMomentAreReachedSourceBySource() {
    ClockModel model =
        clock(
            List.of(
                SampleShoot.source(
                    "a.wav",
                    "A",
                    30,
                    SampleShoot.pair(PairReport.Verdict.INVERTED),
                    SampleShoot.place(5),
                    0),
                SampleShoot.source(
                    "b.wav",
                    "B",
                    30,
                    SampleShoot.pair(PairReport.Verdict.BOTH_SILENT),
                    SampleShoot.place(5),
                    0),
                HALL),
            List.of());
    ClockModel.FlagPlace first = model.nextFlag(Double.NaN, null, true).orElseThrow();
    assertEquals("a.wav", first.item().row().path());
    assertEquals(5, first.seconds());
    ClockModel.FlagPlace second = model.nextFlag(5, first.item().row(), true).orElseThrow();
    assertEquals("b.wav", second.item().row().path());
    assertTrue(model.nextFlag(5, second.item().row(), true).isEmpty());
    assertEquals(first, model.nextFlag(5, second.item().row(), false).orElseThrow());
    assertTrue(model.nextFlag(5, first.item().row(), false).isEmpty());
  }

  private List<String> reached(boolean onwards) {
    List<String> all = new ArrayList<>();
    double seconds = Double.NaN;
    SourceRow row = null;
    for (var place = clock.nextFlag(seconds, row, onwards);
        place.isPresent() && all.size() < 20;
        place = clock.nextFlag(seconds, row, onwards)) {
      seconds = place.get().seconds();
      row = place.get().item().row();
      all.add(seconds + " " + place.get().flag().words());
    }
    return all;
  }
}
