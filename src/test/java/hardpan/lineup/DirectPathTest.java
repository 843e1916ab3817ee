package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.Fft;
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

  /**
   * Rooms as statistical acoustics has them: direct sound, a few reflections, and noise that falls
   * exponentially (M. R. Schroeder and J.-D. Polack; from memory), the echoes 5 to 10 dB above the
   * direct sound; heard in a band and in noise. In half of them the windows agreed on the strongest
   * arrival instead of the direct one.
   */
  @ParameterizedTest
  @ValueSource(ints = {10, 14, 30})
  void inLivelyRoomsTheDirectSoundIsFoundThoughEchoesAreStronger(int highest) {
    long seed = 20261130L + highest;
    Random random = new Random(seed);
    int rooms = 600;
    int told = 0;
    int off = 0;
    for (int i = 0; i < rooms; i++) {
      float[] response = room(random);
      int strongest = 0;
      for (int at = 0; at < MIDDLE; at++) {
        strongest = Math.abs(response[at]) > Math.abs(response[strongest]) ? at : strongest;
      }
      int anchor = i % 2 == 0 ? 0 : strongest;
      int direction = i % 4 < 2 ? -1 : 1;
      float[] stack = stack(seed + i);
      float scale = highest / Math.abs(response[strongest]);
      for (int at = 0; at < stack.length; at++) {
        int arrival = anchor + direction * (at - MIDDLE);
        // Before the direct sound lie the ripples of the band's filter, at the array's end.
        stack[at] += scale * response[Math.floorMod(arrival, response.length)];
      }
      DirectPath.Found found = DirectPath.find(stack, RATE);
      if (found.significant()) {
        told++;
        off += Math.abs(found.lag() - (MIDDLE - direction * anchor)) > RATE / 1000.0 ? 1 : 0;
      }
    }
    assertTrue(told > 0.8 * rooms, told + " told, seed " + seed);
    assertTrue(off <= 0.003 * rooms, off + " of " + told + " off, seed " + seed);
  }

  /** Response of a room, its direct sound at element 0. */
  private static float[] room(Random random) {
    float[] response = new float[1 << 14];
    int first = RATE / 500;
    double fade = Math.log(1000) / ((0.3 + 0.9 * random.nextDouble()) * RATE);
    double rest = Math.pow(10, 0.5 + 0.5 * random.nextDouble());
    double size = Math.sqrt(0.8 * rest * 2 * fade);
    for (int i = first; i < response.length / 2; i++) {
      response[i] = (float) (size * random.nextGaussian() * Math.exp(-fade * i));
    }
    for (int i = 0; i < 6; i++) {
      int at = first + random.nextInt(RATE / 40);
      response[at] += (float) ((random.nextInt(4) == 0 ? -1 : 1) * Math.sqrt(0.2 * rest / 6));
    }
    response[0] = 1;
    Fft transform = Fft.ofSize(response.length);
    transform.forward(response);
    int lowest = 150 * response.length / RATE;
    int highest = (4000 + random.nextInt(6000)) * response.length / RATE;
    for (int bin = 0; bin < response.length / 2; bin++) {
      if (bin < lowest || bin > highest) {
        response[2 * bin] = 0;
        response[2 * bin + 1] = 0;
      }
    }
    transform.inverse(response);
    return response;
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
