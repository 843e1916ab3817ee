package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * SMPTE ST 12-1. The drop-frame rule is stated in public in the documentation of Microsoft's {@code
 * AVEncVideoHeaderDropFrame}; the numbers follow from it by counting.
 */
class TimecodeTest {
  private static final FrameRate NTSC = new FrameRate(30_000, 1001);
  private static final FrameRate NTSC_60 = new FrameRate(60_000, 1001);

  @ParameterizedTest
  @CsvSource({
    "30000, 0, 00:00:00;00",
    "30000, 1799, 00:00:59;29",
    "30000, 1800, 00:01:00;02",
    "30000, 17981, 00:09:59;29",
    "30000, 17982, 00:10:00;00",
    "30000, 107892, 01:00:00;00",
    "30000, 2589407, 23:59:59;29",
    "60000, 3599, 00:00:59;59",
    "60000, 3600, 00:01:00;04",
    "60000, 35963, 00:09:59;59",
    "60000, 35964, 00:10:00;00",
  })
  void dropFrameNames(int numerator, long frame, String label) {
    Timecode code = new Timecode(new FrameRate(numerator, 1001), true);
    assertEquals(label, code.label(frame));
    assertEquals(frame, code.frame(label));
  }

  @ParameterizedTest
  @CsvSource({
    "25, 1, false, 10:00:00:00, 1728000000",
    "24000, 1001, false, 10:00:00:00, 1729728000",
    "30000, 1001, false, 10:00:00:00, 1729728000",
    "30000, 1001, true, 10:00:00;00, 1727998272",
  })
  void tenOClockAt48000(
      int numerator, int denominator, boolean drop, String label, long firstSample) {
    Timecode code = new Timecode(new FrameRate(numerator, denominator), drop);
    long sample = code.firstSample(code.frame(label), 48_000);
    assertEquals(firstSample, sample);
    assertEquals(label, code.label(code.frameAt(sample, 48_000)));
    assertEquals(code.frame(label) - 1, code.frameAt(sample - 1, 48_000));
  }

  /** Counted the slow way: a clock that skips names, against the formula, for a whole day. */
  @Test
  void aWholeDayByCounting() {
    Timecode code = new Timecode(NTSC, true);
    int frames = 0;
    int seconds = 0;
    for (long frame = 0; frame < code.framesInDay(); frame++) {
      if (frame % 97 == 0 || frames < 3 || frames > 27) {
        String label =
            String.format(
                "%02d:%02d:%02d;%02d", seconds / 3600, seconds / 60 % 60, seconds % 60, frames);
        assertEquals(label, code.label(frame));
        assertEquals(frame, code.frame(label));
      }
      frames++;
      if (frames == 30) {
        frames = 0;
        seconds++;
        if (seconds % 60 == 0 && seconds % 600 != 0) {
          frames = 2;
        }
      }
    }
    assertEquals(86_400, seconds);
    assertEquals(2_589_408, code.framesInDay());
    assertEquals(107_892 * 24, code.framesInDay());
    assertEquals("00:00:00;00", code.label(code.framesInDay()));
    assertEquals("23:59:59;29", code.label(-1));
  }

  /** Every rate, every frame of some minutes: there and back. */
  @Test
  void everyRateComesBack() {
    for (FrameRate rate : FrameRate.TIMECODE_RATES) {
      for (boolean drop : rate.takesDropFrame() ? new boolean[] {false, true} : new boolean[1]) {
        Timecode code = new Timecode(rate, drop);
        for (long frame = 35_000; frame < 37_000; frame++) {
          assertEquals(frame, code.frame(code.label(frame)), rate + " " + drop);
          for (int rateHz : new int[] {44_100, 48_000, 96_000}) {
            long sample = code.firstSample(frame, rateHz);
            assertEquals(frame, code.frameAt(sample, rateHz));
            assertEquals(frame - 1, code.frameAt(sample - 1, rateHz));
          }
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource({
    "00:01:00;00",
    "00:01:00;01",
    "00:59:00;00",
    "24:00:00;00",
    "00:60:00;00",
    "00:00:00;30",
    "00:00:00:00",
    "0:00:00;00",
    "00:00:00;0a"
  })
  void namesThatDoNotExist(String label) {
    assertThrows(IllegalArgumentException.class, () -> new Timecode(NTSC, true).frame(label));
  }

  @Test
  void namesLeftOutAt60() {
    Timecode code = new Timecode(NTSC_60, true);
    assertThrows(IllegalArgumentException.class, () -> code.frame("00:01:00;03"));
    assertEquals(3600, code.frame("00:01:00;04"));
    assertEquals(35_964, code.frame("00:10:00;00"));
  }

  @Test
  void dropFrameExistsForTwoRatesOnly() {
    for (FrameRate rate : FrameRate.TIMECODE_RATES) {
      if (!rate.equals(NTSC) && !rate.equals(NTSC_60)) {
        assertThrows(IllegalArgumentException.class, () -> new Timecode(rate, true));
      }
    }
  }

  @ParameterizedTest
  @CsvSource({
    "23.976, 24000/1001",
    "23.976023976, 24000/1001",
    "24, 24/1",
    "25.0001, 25/1",
    "29.97, 30000/1001",
    "30, 30/1",
    "47.952, 48000/1001",
    "50, 50/1",
    "59.94006, 60000/1001",
    "60, 60/1",
  })
  void filesFractionsFindTheirRate(double perSecond, String rate) {
    FrameRate found = FrameRate.nearest(perSecond);
    assertEquals(rate, String.valueOf(found));
  }

  @ParameterizedTest
  @CsvSource({"0", "12", "29.5", "27.3", "29.985", "90000", "NaN", "Infinity"})
  void otherRatesAreNone(double perSecond) {
    assertNull(FrameRate.nearest(perSecond));
  }
}
