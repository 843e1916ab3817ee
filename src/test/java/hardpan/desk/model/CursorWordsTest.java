package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalDateTime;
import org.junit.jupiter.api.Test;

class CursorWordsTest {
  private static final double NONE = Double.NaN;
  private final ShownShoot shown = SampleShoot.shown();

  private ClockItem item(int number) {
    return shown.clock().itemOf(shown.rows().get(number - 1)).orElseThrow();
  }

  @Test
  void withoutACursorItSaysHowToGetOne() {
    String words = CursorWords.of(NONE, NONE, 1, null, null, new float[0]);
    assertTrue(words.startsWith("No cursor yet"), words);
    assertTrue(CursorWords.of(NONE, 65, 1, null, null, new float[0]).endsWith("heard: 1:05.0"));
  }

  @Test
  void timeLevelsAndFindingsAreSaid() {
    String words = CursorWords.of(55, NONE, 1, null, item(3), new float[] {0.5f, 0});
    assertEquals(
        "Cursor at 0:55.000  \u00b7  hot.mp4, highest sample here: left \u22126.0 dBFS, right no sound"
            + "  \u00b7  tops cut off (left), tops cut off (right)",
        words);
    String later = CursorWords.of(65, NONE, 1, null, item(3), new float[] {Float.NaN, 0.1f});
    assertEquals(
        "Cursor at 1:05.000  \u00b7  hot.mp4, highest sample here: right \u221220.0 dBFS", later);
  }

  @Test
  void nearByTheTimeTellsSamplesApart() {
    String words = CursorWords.of(55.000021, NONE, 1e-6, null, null, new float[0]);
    assertEquals("Cursor at 0:55.00002", words);
  }

  @Test
  void aClipThatIsElsewhereSaysSo() {
    String words = CursorWords.of(5, NONE, 1, null, item(3), new float[] {1, 1});
    assertEquals("Cursor at 0:05.000  \u00b7  hot.mp4 was not recording here", words);
    assertEquals(
        "Cursor at 0:05.000", CursorWords.of(5, NONE, 1, null, item(4), new float[] {1, 1}));
  }

  @Test
  void theTimeOfDayIsSaidWhereItIsKnown() {
    DayClock day = new DayClock(LocalDateTime.parse("2026-05-03T19:59:58.250"));
    assertEquals(
        "Cursor at 0:01.800  \u00b7  time of day 20:00:00",
        CursorWords.of(1.8, NONE, 1, day, null, new float[0]));
    assertTrue(CursorWords.of(NONE, NONE, 1, day, null, new float[0]).startsWith("No cursor yet"));
  }
}
