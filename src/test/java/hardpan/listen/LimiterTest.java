package hardpan.listen;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.TruePeakMeter;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LimiterTest {
  private static final int FRAMES = 24_000;
  private static final double CEILING = Math.pow(10, -6 / 20.0);

  /** Hostile sound: bursts of every kind and level, one after the other. */
  private static float[] hostile(Random random) {
    float[] sound = new float[FRAMES];
    int at = 0;
    while (at < FRAMES) {
      int end = Math.min(FRAMES, at + 1 + random.nextInt(random.nextInt(5) == 0 ? 3000 : 60));
      int kind = random.nextInt(8);
      double level = Math.pow(10, -3 + 9 * random.nextDouble() * random.nextDouble());
      int period = 1 + random.nextInt(12);
      for (int n = 0; at < end; at++, n++) {
        double value =
            switch (kind) {
              case 0 -> level * random.nextGaussian();
              case 1 -> n / period % 2 == 0 ? level : -level;
              case 2 -> level;
              case 3 -> n == 0 ? level : 0;
              case 4 -> random.nextInt(9) == 0 ? Double.NaN : level * random.nextGaussian();
              case 5 -> random.nextBoolean() ? 1e38 : Double.NEGATIVE_INFINITY;
              case 6 -> level * Math.sin(n * Math.PI / 2 + Math.PI / 4);
              default -> 0;
            };
        sound[at] = (float) value;
      }
    }
    return sound;
  }

  /** The true peak is measured by the meter that agrees with EBU Tech 3341's test signals. */
  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void nothingIsEverAboveTheCeiling(int rateHz) {
    for (long seed = 1; seed <= 40; seed++) {
      Random random = new Random(seed * 7919);
      float[] left = hostile(random);
      float[] right = hostile(random);
      new Limiter(rateHz).process(left, right, FRAMES);
      for (float[] ear : new float[][] {left, right}) {
        TruePeakMeter meter = new TruePeakMeter(rateHz);
        meter.add(ear, 0, FRAMES);
        for (int i = 0; i < FRAMES; i++) {
          assertTrue(Math.abs(ear[i]) <= CEILING, "seed " + seed + ", frame " + i + ": " + ear[i]);
        }
        double peak = meter.truePeak();
        assertTrue(peak <= CEILING, "seed " + seed + ": " + 20 * Math.log10(peak) + " dBTP");
      }
    }
  }

  /** The bound of the class comment must hold by itself, without the last resort of holding. */
  @Test
  void samplesAreTurnedDownNotCutOff() {
    float[] left = hostile(new Random(5));
    float[] right = hostile(new Random(6));
    new Limiter(48_000).process(left, right, FRAMES);
    double aim = Math.pow(10, -7 / 20.0) * 1.0001;
    for (int i = 0; i < FRAMES; i++) {
      assertTrue(Math.abs(left[i]) <= aim && Math.abs(right[i]) <= aim, i + ": " + left[i]);
    }
  }

  @Test
  void whatIsQuietEnoughPassesUnchangedButLater() {
    Limiter limiter = new Limiter(48_000);
    Random random = new Random(11);
    float[] sound = new float[9600];
    for (int i = 0; i < sound.length; i++) {
      sound[i] = (float) (0.05 * random.nextGaussian());
    }
    float[] left = sound.clone();
    float[] right = sound.clone();
    limiter.process(left, right, left.length);
    int delay = limiter.delayFrames();
    assertTrue(delay < 480, delay + " frames");
    for (int i = 0; i < sound.length; i++) {
      assertEquals(i < delay ? 0 : sound[i - delay], left[i], 1e-9f, "frame " + i);
    }
  }

  @Test
  void itComesUpAgainAfterAPeak() {
    float[] left = new float[96_000];
    Arrays.fill(left, 0.1f);
    left[1000] = 100;
    float[] right = left.clone();
    new Limiter(48_000).process(left, right, left.length);
    assertTrue(left[2000] < 0.01, "after the peak " + left[2000]);
    assertEquals(0.1, left[95_000], 0.001);
  }
}
