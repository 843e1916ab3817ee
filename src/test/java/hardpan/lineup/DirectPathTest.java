package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.TestSounds;
import hardpan.signal.Windows;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DirectPathTest {
  private static final int RATE = 48_000;
  private static final int MIDDLE = 2880;

  private static float[] stack(long seed) {
    return TestSounds.noise(seed, 2 * MIDDLE + 1, 1);
  }

  private static void add(float[] stack, double place, double height) {
    for (int i = (int) place - 40; i <= place + 40; i++) {
      stack[i] +=
          (float)
              (height * Windows.sinc(0.42 * (i - place)) * Windows.kaiserAt((i - place) / 40, 4));
    }
  }

  /** A tail of echoes on one side, falling by 60 dB in 0.36 s. */
  private static void tail(Random random, float[] stack, double place, int direction, double size) {
    for (int i = 20; i < 2600; i++) {
      int at = (int) place + direction * i;
      stack[at] += (float) (size * random.nextGaussian() * Math.exp(-i / 2500.0));
    }
  }

  /**
   * The source stood in the room: its echoes come late, which makes their delay on the reference
   * smaller. The strongest peak is a reflection 6 ms late.
   */
  @ParameterizedTest
  @ValueSource(ints = {1, -1})
  void theOutermostStrongPeakOppositeTheEchoesIsTheDirectPath(int sign) {
    for (int seed = 0; seed < 20; seed++) {
      for (int direction : new int[] {-1, 1}) {
        float[] stack = stack(seed);
        double direct = MIDDLE + 200.37;
        add(stack, direct, sign * 60);
        add(stack, direct + direction * 288, sign * 80);
        tail(new Random(seed), stack, direct, direction, 8);
        DirectPath.Found found = DirectPath.find(stack, RATE);
        assertTrue(found.significant());
        assertEquals(direct, found.lag(), 0.5, "seed " + seed + " direction " + direction);
        assertEquals(sign, Math.signum(found.height()));
      }
    }
  }

  /**
   * A far camera in a lively room: the strongest peak is a reflection 23 ms late, so that most of
   * the room's sound came before it and lies, around it, on the direct path's side.
   */
  @ParameterizedTest
  @ValueSource(ints = {1, -1})
  void aLateReflectionThatIsStrongestDoesNotTurnTheSides(int sign) {
    for (int seed = 0; seed < 20; seed++) {
      for (int direction : new int[] {-1, 1}) {
        float[] stack = stack(seed);
        double direct = MIDDLE - direction * 400 + 0.37;
        add(stack, direct, sign * 60);
        add(stack, direct + direction * 450, sign * 30);
        add(stack, direct + direction * 1100, sign * 66);
        tail(new Random(seed), stack, direct, direction, 6);
        DirectPath.Found found = DirectPath.find(stack, RATE);
        assertTrue(found.significant());
        assertEquals(direct, found.lag(), 0.5, "seed " + seed + " direction " + direction);
        assertEquals(sign, Math.signum(found.height()));
      }
    }
  }

  @Test
  void aLonePeakIsItself() {
    float[] stack = stack(3);
    add(stack, MIDDLE - 0.25, -50);
    DirectPath.Found found = DirectPath.find(stack, RATE);
    assertEquals(MIDDLE - 0.25, found.lag(), 0.1);
    assertTrue(found.height() < -40);
  }

  @Test
  void silenceAndNoiseHaveNoPath() {
    assertFalse(DirectPath.find(new float[100], RATE).significant());
    for (int seed = 0; seed < 50; seed++) {
      assertFalse(DirectPath.find(stack(seed), RATE).significant(), "seed " + seed);
    }
  }
}
