package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.desk.model.ClockLayout.Box;
import hardpan.desk.model.ClockLayout.Way;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ClockLayoutTest {
  private final ShownShoot shown = SampleShoot.shown();
  private final ClockLayout layout = new ClockLayout(shown.clock(), 1200);

  private SourceRow row(int number) {
    return shown.rows().get(number - 1);
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 150, 400, 1200, 4000})
  void everythingStaysInsideAndNothingOverlaps(int width) {
    ClockLayout at = new ClockLayout(shown.clock(), width);
    List<Box> boxes = at.boxes();
    assertEquals(6, boxes.size());
    for (Box box : boxes) {
      assertTrue(box.x() >= ClockLayout.NAMES_WIDTH, box.toString());
      assertTrue(box.y() + box.height() <= at.height(), box.toString());
      for (Box other : boxes) {
        boolean apart =
            box.equals(other)
                || box.line() == other.line()
                || box.y() + box.height() <= other.y() - ClockLayout.LABEL_HEIGHT
                || other.y() + other.height() <= box.y() - ClockLayout.LABEL_HEIGHT;
        assertTrue(apart, box + " " + other);
      }
    }
  }

  @Test
  void aClipLiesWhereItsTimeIs() {
    Box hot = layout.boxOf(row(3)).orElseThrow();
    assertEquals(layout.x(40), hot.x());
    assertEquals(layout.x(160), hot.x() + hot.width());
    assertTrue(layout.x(0) < layout.x(40));
  }

  @Test
  void ticksAreRoundAndFewEnough() {
    List<ClockLayout.Tick> ticks = layout.ticks();
    assertEquals("0:00", ticks.get(0).words());
    assertEquals("0:15", ticks.get(1).words());
    assertEquals(layout.x(15), ticks.get(1).x());
    assertTrue(ticks.size() <= 15);
    assertTrue(new ClockLayout(shown.clock(), 200).ticks().size() <= 3);
  }

  @Test
  void aPointFindsItsClip() {
    Box hot = layout.boxOf(row(3)).orElseThrow();
    assertEquals(Optional.of(row(3)), layout.at(hot.x() + 1.0, hot.y() + 1.0).map(ClockItem::row));
    assertEquals(Optional.empty(), layout.at(hot.x() - 1.0, hot.y() + 1.0));
  }

  @Test
  void theArrowKeysReachEveryClip() {
    assertEquals(Optional.of(row(6)), layout.step(null, Way.ON));
    assertEquals(Optional.of(row(1)), layout.step(row(6), Way.ON));
    assertEquals(Optional.of(row(2)), layout.step(row(1), Way.ON));
    assertEquals(Optional.of(row(1)), layout.step(row(2), Way.BACK));
    assertEquals(Optional.of(row(3)), layout.step(row(2), Way.DOWN));
    assertEquals(Optional.of(row(1)), layout.step(row(3), Way.UP));
    assertEquals(Optional.of(row(6)), layout.step(row(6), Way.UP));
    assertEquals(Optional.of(row(5)), layout.step(row(1), Way.LAST));
    assertEquals(Optional.of(row(6)), layout.step(row(5), Way.FIRST));
  }
}
