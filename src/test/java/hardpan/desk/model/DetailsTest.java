package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.report.Sentences;
import java.util.List;
import org.junit.jupiter.api.Test;

class DetailsTest {
  private final ShownShoot shown = SampleShoot.shown();

  private List<DetailLine> details(int number) {
    return shown.details(shown.rows().get(number - 1));
  }

  private static DetailLine.Found found(List<DetailLine> lines, String part) {
    return lines.stream()
        .filter(DetailLine.Found.class::isInstance)
        .map(DetailLine.Found.class::cast)
        .filter(line -> line.says().contains(part))
        .findFirst()
        .orElseThrow(() -> new AssertionError(part + " not in " + lines));
  }

  @Test
  void withoutAChoiceTheFaultsOfTheShootComeFirst() {
    List<DetailLine> lines = shown.details(null);
    assertEquals(new DetailLine.Heading("Look at first"), lines.get(0));
    assertEquals("Fault", ((DetailLine.Found) lines.get(1)).kind());
    assertEquals(Mark.WARNING, found(lines, "No place was found").mark());
  }

  @Test
  void theSameOnBothChannelsIsSaidOnceWithItsRemedy() {
    DetailLine.Found low = found(details(2), "Recorded very low.");
    assertEquals("left, right: Recorded very low.", low.says());
    assertEquals("Raise the gain.", low.remedy());
    assertEquals(Mark.WARNING, low.mark());
  }

  @Test
  void aBadPairIsAFaultWithItsCauseAndRemedy() {
    List<DetailLine> lines = details(2);
    DetailLine.Found pair = found(lines, "Left and right are one signal with opposite polarity");
    assertEquals(Mark.FAULT, pair.mark());
    assertTrue(pair.remedy().contains("never add the two sides"), pair.remedy());
    assertTrue(lines.toString().contains("pin 3 (cold)"), lines.toString());
  }

  @Test
  void levelsStandInAFigureEachAndSilenceIsADash() {
    DetailLine.Levels levels =
        details(1).stream()
            .filter(DetailLine.Levels.class::isInstance)
            .map(DetailLine.Levels.class::cast)
            .findFirst()
            .orElseThrow();
    assertEquals(
        List.of("left", "\u22126.0", "\u22125.9", "\u2013", "\u221223.5", "4.0", "\u221260.0"),
        levels.rows().get(0));
    assertEquals(levels.head().size(), levels.rows().get(0).size());
  }

  @Test
  void anUnreadableFileSaysWhyAndWhatToDo() {
    DetailLine.Found error = found(details(5), "It ends too early.");
    assertEquals(Mark.FAULT, error.mark());
    assertTrue(error.remedy().contains("again"), error.remedy());
  }

  @Test
  void shootAndSourceHaveTheCautionsTheyNeed() {
    String all = shown.details(null).toString();
    assertTrue(all.contains("phantom power"), all);
    assertFalse(all.contains("mains earth"), "no hum was found: " + all);
    String clean = details(1).toString();
    Sentences.usualCautions().forEach(caution -> assertFalse(clean.contains(caution), caution));
    String inverted = details(2).toString();
    assertTrue(inverted.contains("phantom power"), inverted);
    assertFalse(inverted.contains("mains earth"), inverted);
  }

  @Test
  void aBadPairStandsBeforeTheFindings() {
    List<DetailLine> lines = details(2);
    assertTrue(
        lines.indexOf(new DetailLine.Heading("Left and right"))
            < lines.indexOf(new DetailLine.Heading("Channel by channel")));
    assertTrue(
        details(1).indexOf(new DetailLine.Heading("Left and right"))
            > details(1).indexOf(new DetailLine.Heading("Channel by channel")));
  }

  @Test
  void rowsSayHowItCameOutInWords() {
    SourceRow two = shown.rows().get(1);
    assertEquals("placed at 1:40.000", two.placeWords());
    assertEquals("one signal, opposite polarity", two.pairWords());
    assertEquals("1 fault, 1 warning", two.findingWords());
    assertEquals(Mark.FAULT, two.findingMark());
    assertEquals(
        "Source 2, CAM-A/two.mov, CAM-A, placed at 1:40.000, one signal, opposite polarity,"
            + " 1 fault, 1 warning.",
        two.spoken());
    assertEquals("cannot be read", shown.rows().get(4).placeWords());
    assertEquals("2 channels", shown.rows().get(5).pairWords());
    assertTrue(shown.overview().endsWith("1 file was not used."), shown.overview());
    assertEquals("notes.txt: not media", shown.leftOut());
  }
}
