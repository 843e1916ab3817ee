package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.time.LocalDateTime;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/**
 * Time reference: samples from midnight to the first sample, at the file's own rate (EBU Tech 3285,
 * section 2.3).
 */
@NullUnmarked
class LaneClockTest {
  private static final long NOON = 12L * 3600 * 48_000;

  @Test
  void theReferencesStampRules() {
    LaneClock clock = LaneClock.of(LaneSamples.stamped(NOON + 7, "2026-05-16T03:00:00Z"), 0);
    assertEquals(NOON + 7, clock.samplesSinceMidnight(0, 48_000));
    assertEquals(NOON + 7 + 480_000, clock.samplesSinceMidnight(10, 48_000));
    assertEquals(NOON + 7 - 24_000, clock.samplesSinceMidnight(-0.5, 48_000));
    // (12 h + 7 / 48000 s + 10 s) x 44100 Hz = 1 905 561 006.43
    assertEquals(1_905_561_006L, clock.samplesSinceMidnight(10, 44_100));
    assertEquals(2 * (NOON + 7), clock.samplesSinceMidnight(0, 96_000));
    assertEquals(LocalDateTime.parse("2026-05-16T12:00:10.000145833"), clock.dateTime(10));
  }

  @Test
  void withoutAStampTheStartTimeDoes() {
    LaneClock clock = LaneClock.of(LaneSamples.stamped(null, "2026-05-16T19:30:00.5+02:00"), 0);
    assertEquals((19 * 3600L + 1800) * 48_000 + 24_000, clock.samplesSinceMidnight(0, 48_000));
    assertEquals(LocalDateTime.parse("2026-05-16T19:30:02.5"), clock.dateTime(2));
  }

  @Test
  void withNeitherTheReferenceStartsAtZero() {
    LaneClock clock = LaneClock.of(LaneSamples.stamped(null, null), 0);
    assertEquals(0, clock.samplesSinceMidnight(0, 48_000));
    assertEquals(96_000, clock.samplesSinceMidnight(2, 48_000));
    assertNull(clock.dateTime(2));
    LaneClock none = LaneClock.of(null, 0);
    assertEquals(96_000, none.samplesSinceMidnight(2, 48_000));
  }

  @Test
  void withoutATimeOfDayEarlierLanesMoveAllByFullHours() {
    LaneClock clock = LaneClock.of(LaneSamples.stamped(null, null), -1.5);
    assertEquals(3600L * 48_000, clock.samplesSinceMidnight(0, 48_000));
    assertEquals(3600L * 48_000 - 72_000, clock.samplesSinceMidnight(-1.5, 48_000));
    LaneClock hours = LaneClock.of(LaneSamples.stamped(null, null), -3600.001);
    assertEquals(7200L * 48_000, hours.samplesSinceMidnight(0, 48_000));
    assertEquals(
        3600L * 48_000,
        LaneClock.of(LaneSamples.stamped(null, null), -3600).samplesSinceMidnight(0, 48_000));
  }

  /** The reference begins 10 s after midnight, a camera 20 s before it, the day before. */
  @Test
  void earlierThanTheReferencesMidnightCountsFromTheDayBefore() {
    LaneClock clock = LaneClock.of(LaneSamples.stamped(480_000L, "2026-05-17T00:00:10Z"), -30);
    assertEquals((86_400L - 20) * 48_000, clock.samplesSinceMidnight(-30, 48_000));
    assertEquals(LocalDateTime.parse("2026-05-16T23:59:40"), clock.dateTime(-30));
    assertEquals((86_400L + 10) * 48_000, clock.samplesSinceMidnight(0, 48_000));
    assertEquals(LocalDateTime.parse("2026-05-17T00:00:10"), clock.dateTime(0));
  }

  @Test
  void laterThanMidnightCountsOn() {
    LaneClock clock =
        LaneClock.of(LaneSamples.stamped((86_400L - 60) * 48_000, "2026-05-16T23:59:00Z"), 0);
    assertEquals((86_400L + 60) * 48_000, clock.samplesSinceMidnight(120, 48_000));
    assertEquals(LocalDateTime.parse("2026-05-17T00:01:00"), clock.dateTime(120));
  }

  @Test
  void aStampThatNoClockCanMeanIsPassedOver() {
    LaneClock clock =
        LaneClock.of(LaneSamples.stamped(Long.MAX_VALUE / 3, "2026-05-16T10:00:00Z"), 0);
    assertEquals(36_000L * 48_000, clock.samplesSinceMidnight(0, 48_000));
  }
}
