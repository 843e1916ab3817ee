package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import java.util.function.IntToDoubleFunction;
import org.junit.jupiter.api.Test;

class PowerSpectrumTest {
  private static final int SIZE = 4096;

  private static double[] levels(int every, int length, IntToDoubleFunction wave) {
    PowerSpectrum spectrum = new PowerSpectrum(SIZE, every);
    float[] sound = new float[length];
    for (int i = 0; i < length; i++) {
      sound[i] = (float) wave.applyAsDouble(i);
    }
    // In uneven pieces, as blocks come.
    for (int at = 0; at < length; at += 1000) {
      spectrum.add(sound, at, Math.min(1000, length - at));
    }
    return spectrum.levelsDb();
  }

  /** By definition: a sine of amplitude 1 on a bin is 0 dB, half of it -6.02 dB. */
  @Test
  void aSineHasItsLevelInItsBin() {
    double[] levels =
        levels(1, 10 * SIZE, i -> 0.5 * Math.sin(2 * Math.PI * 100 * i / (double) SIZE));
    assertEquals(-6.02, levels[100], 0.01);
    assertTrue(levels[110] < -100, "far off " + levels[110]);
  }

  /**
   * White noise of variance v has v x sum(w^2) in a bin; with a Hann window (sum of squares 3/8 n)
   * against the line of a full-scale sine (n/4 squared) that is 10 log(v x 6 / n).
   */
  @Test
  void whiteNoiseIsFlatAtItsLevel() {
    Random random = new Random(404);
    double[] levels = levels(1, 400 * SIZE, i -> 0.1 * random.nextGaussian());
    double expected = 10 * Math.log10(0.01 * 6 / SIZE);
    for (int bin = 10; bin < SIZE / 2 - 10; bin++) {
      assertEquals(expected, levels[bin], 1.5, "bin " + bin);
    }
  }

  @Test
  void takingEveryFourthWindowChangesNothingOfASteadySound() {
    double[] all = levels(1, 20 * SIZE, i -> Math.sin(2 * Math.PI * 32 * i / (double) SIZE));
    double[] some = levels(4, 20 * SIZE, i -> Math.sin(2 * Math.PI * 32 * i / (double) SIZE));
    assertEquals(all[32], some[32], 1e-3);
  }

  @Test
  void tooLittleSoundHasNoSpectrumAndSilenceAndNaNHaveAFloor() {
    assertEquals(0, levels(1, SIZE - 1, i -> 1).length);
    assertEquals(-300, levels(1, SIZE, i -> 0)[7]);
    assertEquals(-300, levels(1, SIZE, i -> Double.NaN)[7]);
  }
}
