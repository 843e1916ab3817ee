package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/** What the sound says of cuts that are known to be true or false. */
@NullUnmarked
class SeamTestTest {
  private static final int REACH = SeamTest.USEFUL_FRAMES;

  /** Resonances driven by noise: the autoregressive sound that the measure is made for. */
  private static float[] resonances(long seed, int frames) {
    Random random = new Random(seed);
    double[] turns = {1.99, 1.95, 1.8, 1.4};
    double[][] state = new double[turns.length][2];
    float[] sound = new float[frames];
    for (int i = 0; i < frames; i++) {
      for (int k = 0; k < turns.length; k++) {
        double now =
            0.002 * random.nextGaussian() + 0.996 * turns[k] * state[k][0] - 0.993 * state[k][1];
        state[k][1] = state[k][0];
        state[k][0] = now;
        sound[i] += (float) now;
      }
    }
    return sound;
  }

  private static SeamTest.Result cut(float[] sound, int end, int start) {
    return SeamTest.test(
        new float[][] {Arrays.copyOfRange(sound, end - REACH, end)},
        new float[][] {Arrays.copyOfRange(sound, start, start + REACH)});
  }

  /**
   * The errors of the right predictor are the noise that drove the sound: y = x + 1.95 y1 - 0.97 y2
   * has the autocorrelation ratio r1/r0 = 1.95 / 1.97 (Yule-Walker equation of order 1).
   */
  @Test
  void solvesTheYuleWalkerEquations() {
    double r1 = 1.95 / 1.97;
    double r2 = 1.95 * r1 - 0.97;
    double r3 = 1.95 * r2 - 0.97 * r1;
    LinearPrediction prediction = LinearPrediction.of(new double[] {1, r1, r2, r3});
    double[] samples = {0.3, -0.2, 0.5, 1.95 * 0.5 + 0.97 * 0.2 + 0.01};
    assertEquals(0.01, prediction.error(2, samples, 3), 1e-4);
    assertEquals(0.01, prediction.error(3, samples, 3), 1e-3);
    double power = 1 - 1.95 * r1 + 0.97 * r2;
    assertEquals(power, prediction.errorPower(2), 1e-6);
  }

  @Test
  void tellsACutFromAGapAndFromAnotherTake() {
    int proved = 0;
    int refused = 0;
    for (long seed = 1; seed <= 40; seed++) {
      float[] sound = resonances(seed, 60_000);
      int at = 20_000 + (int) seed * 100;
      SeamTest.Result same = cut(sound, at, at);
      assertTrue(same.answer() != SeamTest.Answer.BROKEN, seed + ": " + same);
      proved += same.answer() == SeamTest.Answer.GOES_ON ? 1 : 0;
      for (int start : new int[] {at + 40, at + 20_000}) {
        SeamTest.Result other = cut(sound, at, start);
        assertTrue(other.answer() != SeamTest.Answer.GOES_ON, seed + ": " + other);
        refused += other.answer() == SeamTest.Answer.BROKEN ? 1 : 0;
      }
    }
    assertTrue(proved >= 20, proved + " of 40 proved");
    assertTrue(refused >= 40, refused + " of 80 refused");
  }

  /** As a compressed take begins: nothing, then the window of the first packet. */
  @Test
  void aTakeThatFadesInProvesNothing() {
    for (long seed = 1; seed <= 40; seed++) {
      float[] sound = resonances(seed, 60_000);
      float[] quiet = Arrays.copyOfRange(sound, 30_000, 30_000 + REACH);
      float[] loud = Arrays.copyOfRange(sound, 10_000, 10_000 + REACH);
      for (int i = 0; i < REACH; i++) {
        quiet[i] *= 0.01f;
        double rise = Math.sin(0.5 * Math.PI * Math.min(256, i) / 256);
        loud[i] *= (float) Math.pow(rise, 4);
      }
      for (float[] before : new float[][] {quiet, new float[REACH]}) {
        SeamTest.Result result = SeamTest.test(new float[][] {before}, new float[][] {loud});
        assertTrue(result.answer() != SeamTest.Answer.GOES_ON, seed + ": " + result);
      }
    }
  }

  @Test
  void noiseSilenceAndShortSoundProveNothing() {
    Random random = new Random(9);
    float[] noise = new float[40_000];
    for (int i = 0; i < noise.length; i++) {
      noise[i] = (float) (0.1 * random.nextGaussian());
    }
    assertEquals(SeamTest.Answer.CANNOT_TELL, cut(noise, 15_000, 15_000).answer());
    assertEquals(SeamTest.Answer.CANNOT_TELL, cut(noise, 15_000, 30_000).answer());
    float[] silence = new float[40_000];
    assertEquals(SeamTest.Answer.CANNOT_TELL, cut(silence, 15_000, 15_000).answer());
    float[][] few = {new float[100]};
    assertEquals(SeamTest.Answer.CANNOT_TELL, SeamTest.test(few, few).answer());
    assertEquals(
        SeamTest.Answer.CANNOT_TELL, SeamTest.test(new float[0][], new float[0][]).answer());
  }
}
