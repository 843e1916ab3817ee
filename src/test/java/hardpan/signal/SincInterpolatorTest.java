package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SincInterpolatorTest {
  private static final int RATE = 48_000;

  /**
   * A sine read at a ratio near 1, as for a clock that is 50 ppm off, against the sine's own
   * formula. The input holds floats, whose rounding alone is about 150 dB down.
   */
  @ParameterizedTest
  @CsvSource({"1000, 128", "8000, 124", "16000, 120", "20000, 116"})
  void sinesKeepTheirShapeWhenTheClockIsCorrected(double hz, double leastDb) {
    double ratio = 1.00005;
    float[] sound = TestSounds.sine(hz, RATE, 200_000, 0.5, 0.3);
    SincInterpolator between = SincInterpolator.fullBand();
    double wanted = 0;
    double wrong = 0;
    for (int i = 1000; i < 190_000; i++) {
      double position = i * ratio;
      double exact = 0.5 * Math.sin(2 * Math.PI * hz * position / RATE + 0.3);
      double error = between.at(sound, position) - exact;
      wanted += exact * exact;
      wrong += error * error;
    }
    double snr = Decibels.ofPower(wanted / wrong);
    assertTrue(snr >= leastDb, hz + " Hz: " + snr + " dB");
  }

  @Test
  void atWholePositionsTheSampleItselfComesBack() {
    float[] sound = TestSounds.noise(3, 500, 0.3);
    for (int i = 0; i < 500; i++) {
      assertEquals(sound[i], SincInterpolator.fullBand().at(sound, i), 1e-7);
    }
  }

  @Test
  void wholeAndFractionAgreeWithTheSinglePosition() {
    float[] sound = TestSounds.noise(4, 300, 0.3);
    SincInterpolator between = SincInterpolator.fullBand();
    for (double position = -40; position < 340; position += 0.37) {
      long index = (long) Math.floor(position);
      assertEquals(between.at(sound, position), between.at(sound, index, position - index), 1e-12);
    }
    assertEquals(0, between.at(sound, -1e9));
    assertEquals(0, between.at(sound, 1e12));
    assertEquals(0, between.at(new float[0], 0));
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.5, 44_100.0 / 48_000, 1.0 / 6})
  void aCutOffKeepsWhatIsBelowAndRemovesWhatIsAbove(double cutoff) {
    SincInterpolator between = SincInterpolator.withCutoff(cutoff);
    double nyquist = RATE / 2.0;
    assertEquals(0, gainDb(between, 0.5 * cutoff * nyquist), 0.001);
    assertEquals(0, gainDb(between, 0.85 * cutoff * nyquist), 0.05);
    assertEquals(-6, gainDb(between, cutoff * nyquist), 0.3);
    double above = 1.15 * cutoff * nyquist;
    if (above < nyquist) {
      assertTrue(gainDb(between, above) < -100, "leaks " + gainDb(between, above) + " dB");
    }
  }

  private static double gainDb(SincInterpolator between, double hz) {
    float[] sound = TestSounds.sine(hz, RATE, 24_000, 1, 0.1);
    double sum = 0;
    int count = 0;
    for (double position = 4000; position < 20_000; position += 1.37) {
      double y = between.at(sound, position);
      sum += y * y;
      count++;
    }
    return Decibels.ofPower(2 * sum / count);
  }

  @Test
  void cutOffsOutsideTheRangeAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> SincInterpolator.withCutoff(0));
    assertThrows(IllegalArgumentException.class, () -> SincInterpolator.withCutoff(1.01));
    assertThrows(IllegalArgumentException.class, () -> SincInterpolator.withCutoff(Double.NaN));
  }

  /** A sine that a slower or faster clock recorded, against the sine's own formula. */
  @ParameterizedTest
  @CsvSource({
    "1e-4, 96001",
    "-1e-4, 96001",
    "9e-4, 96001",
    "-9e-4, 96001",
    "2e-6, 96000",
    "-3e-6, 2049",
    "0, 1024",
    "1e-9, 1025",
    "1e-3, 300"
  })
  void aStretchedSineIsTheSineOfTheOtherClock(double slope, int count) {
    double hz = 3000;
    float[] sound = TestSounds.sine(hz, RATE, count, 0.5, 0.3);
    float[] stretched = SincInterpolator.brief(1).stretched(sound, slope);
    double middle = 0.5 * count;
    double wanted = 0;
    double wrong = 0;
    for (int i = 100; i < count - 100; i++) {
      double position = middle + (i - middle) / (1 + slope);
      double exact = 0.5 * Math.sin(2 * Math.PI * hz * position / RATE + 0.3);
      wanted += exact * exact;
      wrong += (stretched[i] - exact) * (stretched[i] - exact);
    }
    // Half a step of 1/128 sample is at most 0.0015 rad of 3 kHz: 57 dB; on average 61 dB.
    assertTrue(Decibels.ofPower(wanted / wrong) >= 55, "slope " + slope);
    assertThrows(
        IllegalArgumentException.class, () -> SincInterpolator.brief(1).stretched(sound, 0.01));
  }
}
