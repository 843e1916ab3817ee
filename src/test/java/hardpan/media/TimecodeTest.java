package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.LocalTime;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * SMPTE ST 12-1: drop-frame counting skips the labels 00 and 01 (at 59.94: 00 to 03) of every
 * minute that is no multiple of ten.
 */
@NullUnmarked
class TimecodeTest {
  @ParameterizedTest
  @CsvSource({
    "00:01:00;02, 30000, 1001, true",
    "00:01:00;01, 30000, 1001, false",
    "00:01:00;00, 30000, 1001, false",
    "00:10:00;00, 30000, 1001, true",
    "00:01:00:00, 30000, 1001, true",
    "00:01:00;04, 60000, 1001, true",
    "00:01:00;03, 60000, 1001, false",
    "23:59:59:24, 25, 1, true",
    "23:59:59:25, 25, 1, false",
    "24:00:00:00, 25, 1, false",
    "10:60:00:00, 25, 1, false",
    "10:00:60:00, 25, 1, false",
    "10:00:00:00, 0, 1, false",
    "10:00:00:00, 1000, 1, false",
    "10:00:00, 25, 1, false",
  })
  void labelsThatTheStandardHasNotAreRefused(
      String label, int numerator, int denominator, boolean legal) {
    assertEquals(legal, Timecode.parse(label, numerator, denominator) != null);
  }

  @Test
  void theTimeOfDayIsThatOfTheLabel() {
    Timecode code = Timecode.parse("18:30:05:12", 12800, 512);
    assertEquals(LocalTime.parse("18:30:05.480"), code.timeOfDay());
    assertEquals("18:30:05:12 at 25 a second", code.toString());
    assertFalse(code.dropFrame());
    Timecode drop = Timecode.parse("18:30:05;15", 30000, 1001);
    // 15 x 1001 / 30000 s = 0.5005 s
    assertEquals(LocalTime.parse("18:30:05.500500"), drop.timeOfDay());
    assertEquals("18:30:05;15 at 30000/1001 a second, drop-frame", drop.toString());
    assertEquals(30, drop.nominalRate());
    assertTrue(drop.dropFrame());
  }

  @Test
  void countersBeginAtAFullHour() {
    assertTrue(Timecode.parse("00:00:00:00", 25, 1).isCounterStart());
    assertTrue(Timecode.parse("01:00:00:00", 25, 1).isCounterStart());
    assertFalse(Timecode.parse("10:00:00:00", 25, 1).isCounterStart());
    assertFalse(Timecode.parse("00:00:00:01", 25, 1).isCounterStart());
    assertNotNull(Timecode.parse(" 10:00:00:00 ", 25, 1));
    assertNull(Timecode.parse("", 25, 1));
  }
}
