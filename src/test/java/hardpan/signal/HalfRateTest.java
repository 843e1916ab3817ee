package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Against sine waves, whose values are known at any moment. */
class HalfRateTest {
  private static final int LENGTH = 8192;

  /** 58 dB down; Kaiser's rule for the filter's length promises about 60. */
  private static final double DEVIATION = 1.25e-3;

  private static float[] tone(double hertz, double rateHz, int length) {
    float[] tone = new float[length];
    for (int i = 0; i < length; i++) {
      tone[i] = (float) Math.sin(0.3 + 2 * Math.PI * hertz / rateHz * i);
    }
    return tone;
  }

  @ParameterizedTest
  @CsvSource({
    "48000, 150",
    "48000, 1000",
    "48000, 7000",
    "48000, 10000",
    "44100, 150",
    "44100, 5000",
    "44100, 10000",
    "96000, 10000",
    "192000, 10000",
    "32000, 7200"
  })
  void aToneOfTheBandHasTheSameValuesAtHalfTheRate(int rateHz, double hertz) {
    HalfRate half = new HalfRate(rateHz, Math.min(10_000, 0.23 * rateHz));
    float[] halved = new float[LENGTH / 2];
    half.halve(tone(hertz, rateHz, LENGTH), halved);
    float[] wanted = tone(hertz, rateHz / 2.0, LENGTH / 2);
    for (int i = 100; i < LENGTH / 2 - 100; i++) {
      assertEquals(wanted[i], halved[i], DEVIATION, "sample " + i);
    }
  }

  /** Kaiser's rule would make these filters so short that it does not hold any more. */
  @ParameterizedTest
  @CsvSource({"48000, 3600, 20400", "96000, 7200, 40800", "192000, 10000, 86000"})
  void aNarrowBandIsKeptAsWell(int rateHz, double highestHz, double foldedHz) {
    HalfRate half = new HalfRate(rateHz, highestHz);
    float[] kept = new float[LENGTH / 2];
    half.halve(tone(highestHz, rateHz, LENGTH), kept);
    float[] folded = new float[LENGTH / 2];
    half.halve(tone(foldedHz, rateHz, LENGTH), folded);
    float[] wanted = tone(highestHz, rateHz / 2.0, LENGTH / 2);
    for (int i = 100; i < LENGTH / 2 - 100; i++) {
      assertEquals(wanted[i], kept[i], DEVIATION, "sample " + i);
      assertEquals(0, folded[i], DEVIATION, "folded sample " + i);
    }
  }

  @ParameterizedTest
  @CsvSource({"48000, 14000", "48000, 17000", "48000, 23000", "44100, 12060", "44100, 20000"})
  void aToneThatWouldFallIntoTheBandIsTakenAway(int rateHz, double hertz) {
    float[] halved = new float[LENGTH / 2];
    new HalfRate(rateHz, 10_000).halve(tone(hertz, rateHz, LENGTH), halved);
    for (int i = 100; i < LENGTH / 2 - 100; i++) {
      assertEquals(0, halved[i], DEVIATION, "sample " + i);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 77, 4000, 4001, LENGTH})
  void betweenTheValuesOfATurnStandThoseOfTheTone(int count) {
    // A whole number of periods, so that the turn closes.
    double hertz = 48_000.0 * 1201 / LENGTH;
    float[] turn = tone(hertz, 24_000, LENGTH / 2);
    float[] doubled = new HalfRate(48_000, 10_000).doubled(turn, count);
    assertEquals(count, doubled.length);
    float[] wanted = tone(hertz, 48_000, count);
    assertArrayEquals(wanted, doubled, (float) DEVIATION);
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 50, 51, 2047, 2048, 2049, 5001})
  void ofAnyLengthEverySecondSampleIsMade(int length) {
    float[] sound = new float[length];
    Arrays.fill(sound, 1);
    float[] halved = new float[length];
    HalfRate half = new HalfRate(48_000, 10_000);
    half.halve(sound, halved);
    int made = (length + 1) / 2;
    for (int i = made; i < length; i++) {
      assertEquals(0, halved[i], "element " + i + " was set");
    }
    for (int i = 20; i < made - 20; i++) {
      assertEquals(1, halved[i], DEVIATION, "a constant changed at " + i);
    }
    assertTrue(halved[0] > 0.4, "the first sample is missing: " + halved[0]);
    assertTrue(halved[made - 1] > 0.4, "the last sample is missing: " + halved[made - 1]);
  }

  @Test
  void aBandThatLeavesNoRoomIsRefused() {
    assertTrue(HalfRate.serves(44_100, 10_000));
    assertFalse(HalfRate.serves(32_000, 10_000));
    assertFalse(HalfRate.serves(48_000, 0));
    assertThrows(IllegalArgumentException.class, () -> new HalfRate(16_000, 7_200));
  }
}
