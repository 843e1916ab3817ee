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
  private final ClockLayout layout = new ClockLayout(shown.clock(), 1);

  private SourceRow row(int number) {
    return shown.rows().get(number - 1);
  }

  @ParameterizedTest
  @ValueSource(doubles = {1, 1.25, 2, 3})
  void nothingOverlapsOnAnyScreen(double density) {
    ClockLayout at = new ClockLayout(shown.clock(), density);
    List<Box> boxes = at.boxes();
    assertEquals(4, boxes.size());
    for (Box box : boxes) {
      assertTrue(box.y() + box.height() <= at.height(), box.toString());
      assertTrue(box.labelY() < box.y());
      for (Box other : boxes) {
        boolean apart =
            box.row() == other.row()
                || box.y() + box.height() <= other.labelY()
                || other.y() + other.height() <= box.labelY();
        assertTrue(apart, box + " " + other);
      }
      for (ClockLayout.Heading heading : at.headings()) {
        assertTrue(
            heading.y() + heading.height() <= box.labelY() || box.y() + box.height() <= heading.y(),
            heading + " " + box);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {1, 1.25, 2, 3})
  void theReferenceWithItsDeviceLiesAtTheTop(double density) {
    ClockLayout at = new ClockLayout(shown.clock(), density);
    Box reference = at.boxOf(row(6)).orElseThrow();
    assertTrue(reference.y() + reference.height() < at.referenceHeight());
    for (Box box : at.boxes()) {
      assertEquals(box.equals(reference), box.labelY() < at.referenceHeight(), box.toString());
    }
    assertEquals(
        List.of(true, false, false),
        at.headings().stream().map(one -> one.y() < at.referenceHeight()).toList());
    ClockModel none = new ClockModel(0, 1, List.of(), List.of(), null);
    assertEquals(0, new ClockLayout(none, density).referenceHeight());
  }

  @Test
  void whatIsInTheTrayIsNotOnTheClock() {
    assertEquals(Optional.empty(), layout.boxOf(row(4)));
    assertEquals(Optional.empty(), layout.boxOf(row(5)));
    assertEquals(Optional.empty(), layout.boxOf(null));
  }

  @Test
  void aPointFindsItsClip() {
    Box hot = layout.boxOf(row(3)).orElseThrow();
    assertEquals(Optional.of(row(3)), layout.at(41, hot.y() + 1.0, 0).map(ClockItem::row));
    assertEquals(Optional.of(row(3)), layout.at(41, hot.labelY() + 1.0, 0).map(ClockItem::row));
    assertEquals(Optional.empty(), layout.at(39, hot.y() + 1.0, 0));
    assertEquals(Optional.of(row(3)), layout.at(39, hot.y() + 1.0, 2).map(ClockItem::row));
    assertEquals(Optional.empty(), layout.at(41, hot.labelY() - 1.0, 0));
  }

  @Test
  void theKeysReachEveryClip() {
    assertEquals(Optional.of(row(6)), layout.step(null, Way.ON));
    assertEquals(Optional.of(row(1)), layout.step(row(6), Way.ON));
    assertEquals(Optional.of(row(2)), layout.step(row(1), Way.ON));
    assertEquals(Optional.of(row(1)), layout.step(row(2), Way.BACK));
    assertEquals(Optional.of(row(3)), layout.step(row(2), Way.DOWN));
    assertEquals(Optional.of(row(1)), layout.step(row(3), Way.UP));
    assertEquals(Optional.of(row(6)), layout.step(row(6), Way.UP));
    assertEquals(Optional.of(row(6)), layout.step(row(4), Way.DOWN));
  }
}
