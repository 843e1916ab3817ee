package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.report.FindingReport.Severity;
import java.util.List;
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
    assertEquals("right is left upside down; recorded too low", two.flagWords());
  }

  @Test
  void thePictureCanBeListenedTo() {
    assertTrue(clock.spoken(null).contains("3 devices, 6 sources, 2 of them without a place"));
    String two = clock.spoken(shown.rows().get(1));
    assertTrue(two.startsWith("Clip 2, two.mov of CAM-A, from 1:40.0 to 2:40.0"), two);
    assertTrue(two.contains("upside down"), two);
    assertTrue(clock.spoken(shown.rows().get(4)).contains("It ends too early."));
  }
}
