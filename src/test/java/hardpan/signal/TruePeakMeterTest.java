package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** ITU-R BS.1770-5, Annex 2; cases 15 to 19 of EBU Tech 3341 v4, table 1. */
class TruePeakMeterTest {
  /** The printed filter of BS.1770-5, Annex 2: phases 0 and 1. */
  private static final double[] PHASE_0 = {
    0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000, -0.0594482421875,
    0.1373291015625, 0.9721679687500, -0.1022949218750, 0.0476074218750, -0.0266113281250,
    0.0148925781250, -0.0083007812500
  };

  private static final double[] PHASE_1 = {
    -0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250, -0.1665039062500,
    0.4650878906250, 0.7797851562500, -0.2003173828125, 0.1015625000000, -0.0582275390625,
    0.0330810546875, -0.0189208984375
  };

  private static double peakOf(int rateHz, float[] samples) {
    TruePeakMeter meter = new TruePeakMeter(rateHz);
    meter.add(samples, 0, samples.length);
    Double dbtp = meter.truePeakDbtp();
    assertNotNull(dbtp);
    return dbtp;
  }

  /** Tolerance +0.2/-0.4 dB; the tones fade in and out over 10 ms. */
  @ParameterizedTest
  @CsvSource({
    "4, 0.50, 0, -6",
    "4, 0.50, 45, -6",
    "6, 0.50, 60, -6",
    "8, 0.50, 67.5, -6",
    "4, 1.41, 45, 3"
  })
  void cases15To19(int divisor, double amplitude, double degrees, double expectedDbtp) {
    for (int rateHz : new int[] {44_100, 48_000, 96_000}) {
      int length = rateHz / 2;
      int fade = rateHz / 100;
      float[] tone = new float[length];
      for (int i = 0; i < length; i++) {
        double gain = Math.min(1, Math.min(i, length - 1 - i) / (double) fade);
        double angle = 2 * Math.PI * i / divisor + Math.toRadians(degrees);
        tone[i] = (float) (gain * amplitude * Math.sin(angle));
      }
      double read = peakOf(rateHz, tone);
      assertTrue(read <= expectedDbtp + 0.2 && read >= expectedDbtp - 0.4, rateHz + " Hz: " + read);
    }
  }

  /**
   * Cases 20 to 23: a tone of a sixth of the rate with one period of a fourth of the rate at full
   * scale in it, made at four times the rate, low-passed, decimated from offsets 0 to 3. Expected
   * 0.0 dBTP, tolerance +0.2/-0.4 dB. The low-pass is our own; the standard prints none.
   */
  @ParameterizedTest
  @CsvSource({
    "44100, 0",
    "44100, 1",
    "44100, 2",
    "44100, 3",
    "48000, 0",
    "48000, 1",
    "48000, 2",
    "48000, 3",
    "96000, 0",
    "96000, 1",
    "96000, 2",
    "96000, 3"
  })
  void cases20To23(int rateHz, int offset) {
    int periods = 400;
    float[] fine = new float[2 * periods * 24 + 16];
    int burst = periods * 24;
    for (int i = 0; i < fine.length; i++) {
      double fade = Math.min(1, Math.min(i, fine.length - 1 - i) / (4.0 * rateHz / 1000));
      if (i >= burst && i < burst + 16) {
        fine[i] = (float) Math.sin(2 * Math.PI * (i - burst) / 16);
      } else {
        int phase = i < burst ? i : i - burst - 16;
        fine[i] = (float) (0.5 * fade * Math.sin(2 * Math.PI * phase / 24));
      }
    }
    SincInterpolator lowPass = SincInterpolator.withCutoff(0.25);
    float[] samples = new float[fine.length / 4 - 1];
    for (int i = 0; i < samples.length; i++) {
      samples[i] = (float) lowPass.at(fine, 4L * i + offset, 0);
    }
    double read = peakOf(rateHz, samples);
    assertTrue(read <= 0.2 && read >= -0.4, "offset " + offset + ": " + read);
  }

  /** The filter as printed, in doubles, on every sample; nothing is left out. */
  private static double everySample(float[] samples, double[][] phases) {
    double peak = 0;
    for (int i = 0; i < samples.length + 11; i++) {
      if (i < samples.length) {
        peak = Math.max(peak, Math.abs(samples[i]));
      }
      for (double[] phase : phases) {
        double sum = 0;
        for (int tap = 0; tap < 12; tap++) {
          int at = i - tap;
          sum += at >= 0 && at < samples.length ? phase[tap] * samples[at] : 0;
        }
        peak = Math.max(peak, Math.abs(sum));
      }
    }
    return peak;
  }

  private static double[] reversed(double[] phase) {
    double[] back = new double[phase.length];
    for (int i = 0; i < back.length; i++) {
      back[i] = phase[phase.length - 1 - i];
    }
    return back;
  }

  /** What is skipped changes nothing: bursts of all levels, fed in pieces of all lengths. */
  @ParameterizedTest
  @ValueSource(ints = {48_000, 96_000, 192_000})
  void skippingChangesNothing(int rateHz) {
    double[][] all = {PHASE_0, PHASE_1, reversed(PHASE_1), reversed(PHASE_0)};
    double[][] phases =
        rateHz < 96_000
            ? all
            : rateHz < 192_000 ? new double[][] {all[0], all[2]} : new double[0][];
    for (long seed = 1; seed <= 200; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      float[] samples = new float[random.nextInt(1, 700)];
      double level = 1;
      for (int i = 0; i < samples.length; i++) {
        if (random.nextInt(40) == 0) {
          level = random.nextDouble(0.001, 2);
        }
        samples[i] = (float) (level * random.nextDouble(-1, 1));
      }
      TruePeakMeter meter = new TruePeakMeter(rateHz);
      for (int at = 0; at < samples.length; ) {
        int count = Math.min(samples.length - at, random.nextInt(0, 150));
        meter.add(samples, at, count);
        at += count;
        if (random.nextInt(4) == 0) {
          meter.truePeak();
        }
      }
      assertEquals(everySample(samples, phases), meter.truePeak(), 1e-6, "seed " + seed);
    }
  }

  @Test
  void silenceAndNothingHaveNoPeak() {
    TruePeakMeter meter = new TruePeakMeter(48_000);
    assertNull(meter.truePeakDbtp());
    assertNull(meter.samplePeakDbfs());
    meter.add(new float[1000], 0, 1000);
    assertNull(meter.truePeakDbtp());
    assertEquals(0, meter.truePeak());
  }

  @Test
  void aLoneSampleCountsEvenAtTheVeryEnd() {
    float[] samples = new float[100];
    samples[99] = 1;
    TruePeakMeter meter = new TruePeakMeter(48_000);
    meter.add(samples, 0, 100);
    assertEquals(0, peakOf(48_000, samples), 1e-9);
    Double samplePeak = meter.samplePeakDbfs();
    assertNotNull(samplePeak);
    assertEquals(0, samplePeak, 1e-9);
    float[] pair = {0.9f, 0.9f};
    assertTrue(peakOf(48_000, pair) > 20 * Math.log10(0.9) + 0.5);
  }

  @Test
  void samplesThatAreNoNumbersCountAsSilence() {
    float[] samples = {0.1f, Float.NaN, 0.2f, Float.POSITIVE_INFINITY, Float.MAX_VALUE, 0.1f};
    float[] clean = {0.1f, 0, 0.2f, 0, 0, 0.1f};
    assertEquals(peakOf(48_000, clean), peakOf(48_000, samples), 0);
    assertThrows(IllegalArgumentException.class, () -> new TruePeakMeter(0));
  }

  /** What a meter with a bound reads is what the other reads, wherever that is above the bound. */
  @Test
  void aMeterWithABoundReadsTheSameAboveIt() {
    SplittableRandom random = new SplittableRandom(5);
    TruePeakMeter bounded = TruePeakMeter.above(48_000, 1);
    TruePeakMeter whole = TruePeakMeter.above(48_000, 0);
    int above = 0;
    for (int block = 0; block < 200; block++) {
      float[] samples = new float[500];
      double level = random.nextDouble(0.3, 1);
      for (int i = 0; i < samples.length; i++) {
        samples[i] = (float) (level * random.nextDouble(-1, 1));
      }
      bounded.add(samples, 0, samples.length);
      whole.add(samples, 0, samples.length);
      double peak = whole.takePeak();
      assertEquals(Math.max(1, peak), bounded.takePeak(), 1e-6);
      above += peak > 1 ? 1 : 0;
    }
    assertTrue(above > 20 && above < 180, "blocks above the bound: " + above);
  }
}
