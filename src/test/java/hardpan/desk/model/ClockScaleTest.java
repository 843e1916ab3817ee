package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalDateTime;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ClockScaleTest {
  private static final double DAY = 86_400;
  private final ClockModel model = new ClockModel(-5, DAY, List.of(), List.of(), null);
  private final ClockScale all = ClockScale.fit(-5, DAY, 1000);

  @Test
  void allOfItFitsWithRoomAtBothEnds() {
    assertTrue(all.x(-5) > 5);
    assertTrue(all.x(DAY) < 995);
    assertTrue(all.shows(-5) && all.shows(DAY));
  }

  /** What is under the hand stays there, to a thousandth of a pixel, from a day to a sample. */
  @Test
  void thePlaceUnderTheHandStaysPut() {
    for (int seed = 0; seed < 200; seed++) {
      Random random = new Random(seed);
      double seconds = random.nextDouble() * DAY;
      ClockScale scale = all;
      while (scale.secondsPerPixel() > 1e-5) {
        double x = scale.x(seconds);
        ClockScale closer = scale.zoomed(1 + random.nextDouble(), x, model);
        assertEquals(x, closer.x(seconds), 0.01, "seed " + seed);
        assertTrue(closer.secondsPerPixel() < scale.secondsPerPixel());
        if (closer.secondsPerPixel() == closer.zoomed(2, x, model).secondsPerPixel()) {
          break;
        }
        scale = closer;
      }
      assertTrue(scale.secondsPerPixel() < 1e-5, "a sample is wider than two pixels");
    }
  }

  @Test
  void thereIsAWayBackToAllOfIt() {
    ClockScale scale = all.zoomed(1e9, 300, model);
    assertEquals(scale, scale.zoomed(10, 300, model));
    assertEquals(all.secondsPerPixel(), scale.zoomed(1e-12, 700, model).secondsPerPixel(), 1e-9);
    assertEquals(all.startSeconds(), scale.zoomed(1e-12, 700, model).startSeconds(), 1e-6);
  }

  @Test
  void nobodyLeavesTheShoot() {
    ClockScale hour = all.zoomed(24, 0, model);
    assertEquals(all.startSeconds(), hour.moved(-1e6, model).startSeconds(), 1e-6);
    assertEquals(all.endSeconds(), hour.moved(1e6, model).endSeconds(), 1e-6);
    assertEquals(hour.seconds(10), hour.moved(10, model).startSeconds(), 1e-6);
    assertTrue(hour.centred(40_000, model).shows(40_000));
    assertEquals(500, hour.centred(40_000, model).x(40_000), 1e-6);
  }

  @Test
  void anotherWidthKeepsWhatWasSeen() {
    assertEquals(ClockScale.fit(-5, DAY, 700), all.sized(700, model));
    ClockScale near = all.zoomed(100, 400, model);
    ClockScale wider = near.sized(1300, model);
    assertEquals(near.startSeconds(), wider.startSeconds(), 1e-6);
    assertEquals(near.secondsPerPixel(), wider.secondsPerPixel());
  }

  @Test
  void anythingCanBeFitted() {
    assertFalse(ClockScale.fit(3, 3, 800).secondsPerPixel() <= 0);
    assertThrows(IllegalArgumentException.class, () -> new ClockScale(0, 0, 10));
    assertThrows(IllegalArgumentException.class, () -> new ClockScale(Double.NaN, 1, 10));
  }

  @Test
  void columnsAreRoundWideEnoughAndCoverEverything() {
    for (int seed = 0; seed < 500; seed++) {
      Random random = new Random(seed);
      double perPixel = Math.exp(Math.log(1e-6) + random.nextDouble() * Math.log(1e9));
      ClockScale scale = new ClockScale(random.nextDouble() * DAY, perPixel, 1200);
      List<ClockColumns.Column> columns = ClockColumns.of(scale, 96, null);
      assertTrue(columns.get(0).fromX() <= 0, "seed " + seed);
      assertTrue(columns.get(columns.size() - 1).toX() >= 1199, "seed " + seed);
      for (int i = 0; i + 1 < columns.size(); i++) {
        ClockColumns.Column column = columns.get(i);
        assertEquals(column.toX(), columns.get(i + 1).fromX(), "seed " + seed);
        assertFalse(column.words().equals(columns.get(i + 1).words()), "seed " + seed);
        assertTrue(i == 0 || column.toX() - column.fromX() >= 95, "seed " + seed);
      }
    }
  }

  @Test
  void columnsAreCalledByTheMomentTheyBegin() {
    ClockScale minute = new ClockScale(0, 0.1, 1000);
    List<ClockColumns.Column> columns = ClockColumns.of(minute, 90, null);
    assertEquals("0:10", columns.get(1).words());
    assertEquals(100, columns.get(1).fromX());
    ClockScale near = new ClockScale(3600, 1e-5, 1000);
    assertEquals("1:00:00.001", ClockColumns.of(near, 90, null).get(1).words());
  }

  @Test
  void theTimeOfDayStandsBelowWhereItIsKnown() {
    DayClock day = new DayClock(LocalDateTime.parse("2026-05-03T23:59:50"));
    List<ClockColumns.Column> columns = ClockColumns.of(new ClockScale(-10, 0.05, 1000), 90, day);
    assertEquals(
        List.of(
            "\u22120:10 23:59:40",
            "\u22120:05 23:59:45",
            "0:00 23:59:50",
            "0:05 23:59:55",
            "0:10 00:00:00",
            "0:15 00:00:05"),
        columns.stream().limit(6).map(one -> one.words() + " " + one.dayWords()).toList());
    assertTrue(
        ClockColumns.of(new ClockScale(-10, 0.05, 1000), 90, null).stream()
            .allMatch(one -> one.dayWords().isEmpty()));
  }

  /** Devices tell their start in whole seconds; closer by the figures would only look exact. */
  @Test
  void closerThanASecondEveryTimeOfDayIsSaidOnce() {
    DayClock day = new DayClock(LocalDateTime.parse("2026-05-03T20:00:00"));
    List<ClockColumns.Column> columns = ClockColumns.of(new ClockScale(59.93, 0.001, 500), 90, day);
    assertEquals(
        List.of("0:59.9 20:00:59", "1:00.0 20:01:00", "1:00.1 ", "1:00.2 ", "1:00.3 ", "1:00.4 "),
        columns.stream().map(one -> one.words() + " " + one.dayWords()).toList());
    assertEquals("", day.words(Double.NaN));
    assertEquals("", day.words(1e9));
    assertEquals("20:00:03", day.words(2.9999999999));
    assertEquals("19:59:59", day.words(-0.5));
  }
}
