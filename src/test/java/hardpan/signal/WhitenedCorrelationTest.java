package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WhitenedCorrelationTest {
  private static final int RATE = 48_000;
  private static final int LAGS = 4001;

  private static Peaks.Peak best(float[] longer, float[] shorter) {
    WhitenedCorrelation correlation = new WhitenedCorrelation(RATE, longer.length, 10_000);
    float[] result =
        correlation.correlate(correlation.spectrum(longer), correlation.spectrum(shorter), LAGS);
    assertEquals(LAGS, result.length);
    return Peaks.strongest(result, Peaks.scatter(result), 1, 3, 0.5, 20).get(0);
  }

  @ParameterizedTest
  @CsvSource({"0.2, 1", "1234, 1", "1234.37, 1e-3", "1234.37, -40", "3999.6, -1"})
  void findsWhereTheShorterStretchLiesWhateverItsLevelAndSign(double place, double gain) {
    float[] talk = TestSounds.talk(11, 3, RATE);
    float[] longer = Arrays.copyOfRange(talk, 20_000, 20_000 + RATE + LAGS - 1);
    float[] shorter = TestSounds.gain(TestSounds.read(talk, 20_000 + place, 1, RATE), gain);
    Peaks.Peak peak = best(longer, shorter);
    // A whole-band peak is one sample wide; at the array's ends it is not refined.
    boolean atAnEnd = place < 1 || place > LAGS - 2;
    assertEquals(place, peak.lag(), atAnEnd ? 0.5 : 0.01);
    assertEquals(Math.signum(gain), Math.signum(peak.height()));
    assertTrue(Math.abs(peak.height()) > 20, "height " + peak.height());
  }

  /** At half the rate inside, or where the band leaves no room for that, at the full one. */
  @ParameterizedTest
  @CsvSource({
    "48000, 10000",
    "48000, 20000",
    "48000, 3600",
    "44100, 10000",
    "96000, 10000",
    "32000, 10000",
    "16000, 7200",
    "8000, 3600"
  })
  void atAnyRateThePlaceIsTheSame(int rateHz, double highestHz) {
    float[] talk = TestSounds.talk(14, 3, rateHz);
    for (int odd = 0; odd < 2; odd++) {
      int lags = 1001 + odd;
      float[] longer = Arrays.copyOfRange(talk, 5_000, 5_000 + rateHz + lags - 1);
      float[] shorter = TestSounds.read(talk, 5_700.3, 1, rateHz);
      WhitenedCorrelation correlation = new WhitenedCorrelation(rateHz, longer.length, highestHz);
      float[] result =
          correlation.correlate(correlation.spectrum(longer), correlation.spectrum(shorter), lags);
      assertEquals(lags, result.length);
      Peaks.Peak peak = Peaks.strongest(result, Peaks.scatter(result), 1, 3, 0.5, 20).get(0);
      assertEquals(700.3, peak.lag(), 0.02);
      assertTrue(peak.height() > 20, "height " + peak.height());
    }
  }

  @Test
  void equalisationDropsOut() {
    float[] talk = TestSounds.talk(12, 3, RATE);
    float[] longer = Arrays.copyOfRange(talk, 20_000, 20_000 + RATE + LAGS - 1);
    float[] shorter = TestSounds.read(talk, 21_000, 1, RATE);
    // Falls by about 20 dB from 500 Hz to 8 kHz, and delays by less than a tenth of a sample there.
    float last = 0;
    float[] dull = new float[RATE];
    for (int i = 0; i < RATE; i++) {
      last += 0.3f * (shorter[i] - last);
      dull[i] = last;
    }
    assertEquals(1000, best(longer, dull).lag(), 2.5);
  }

  @Test
  void silenceGivesZeros() {
    WhitenedCorrelation correlation = new WhitenedCorrelation(RATE, 8000, 10_000);
    float[] sound = correlation.spectrum(TestSounds.noise(1, 8000, 1));
    float[] silence = correlation.spectrum(new float[4000]);
    assertArrayEquals(new float[4001], correlation.correlate(sound, silence, 4001), 0f);
    assertArrayEquals(new float[4001], correlation.correlate(silence, sound, 4001), 0f);
    assertArrayEquals(new float[4001], correlation.correlate(silence, silence, 4001), 0f);
  }

  @Test
  void whatIsNotANumberCountsAsSilence() {
    float[] talk = TestSounds.talk(13, 3, RATE);
    float[] longer = Arrays.copyOfRange(talk, 20_000, 20_000 + RATE + LAGS - 1);
    float[] shorter = TestSounds.read(talk, 21_000, 1, RATE);
    longer[77] = Float.NaN;
    shorter[500] = Float.POSITIVE_INFINITY;
    assertEquals(1000, best(longer, shorter).lag(), 0.05);
  }
}
