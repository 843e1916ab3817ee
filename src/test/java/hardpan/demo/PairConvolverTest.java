package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Fast convolution against the defining sum. */
class PairConvolverTest {
  private static final long SEED = 4711;

  @Test
  void equalsTheDefiningSumAnywhereOnTheTimeLine() {
    Dice dice = new Dice(SEED);
    float[] sound = new float[3000];
    for (int i = 0; i < sound.length; i++) {
      sound[i] = (float) dice.noise();
    }
    Stem stem = new Stem(-1000, sound);
    float[] first = sparse(new int[] {0, 17, 40_000, RoomMaker.TAPS - 1});
    float[] second = sparse(new int[] {3, 900, 65_000});
    PairConvolver convolver =
        new PairConvolver(List.of(new PairConvolver.Way(stem, first, second)));
    for (long from : new long[] {-1500, 0, 1999, 39_000, 63_000, 67_000}) {
      float[] gotFirst = new float[4000];
      float[] gotSecond = new float[4000];
      convolver.read(from, gotFirst, gotSecond, 4000);
      assertArrayEquals(defined(stem, first, from), gotFirst, 2e-5f, "seed " + SEED);
      assertArrayEquals(defined(stem, second, from), gotSecond, 2e-5f, "seed " + SEED);
    }
  }

  @Test
  void howTheTimeLineIsCutDoesNotMatter() {
    Stem stem = new Stem(0, new float[] {1, -0.5f, 0.25f});
    float[] response = RoomMaker.response(new RoomMaker.Way(0.01, 0, 0, 1.2), SEED);
    PairConvolver convolver =
        new PairConvolver(List.of(new PairConvolver.Way(stem, response, null)));
    float[] whole = new float[20_000];
    convolver.read(0, whole, null, 20_000);
    float[] part = new float[5_000];
    convolver.read(9_000, part, null, 5_000);
    for (int i = 0; i < part.length; i++) {
      assertEquals(whole[9_000 + i], part[i], 1e-6f);
    }
  }

  private static float[] sparse(int[] places) {
    float[] response = new float[RoomMaker.TAPS];
    for (int i = 0; i < places.length; i++) {
      response[places[i]] = (i % 2 == 0 ? 1f : -0.7f) / (1 + i);
    }
    return response;
  }

  private static float[] defined(Stem stem, float[] response, long from) {
    float[] out = new float[4000];
    for (int k = 0; k < response.length; k++) {
      if (response[k] == 0) {
        continue;
      }
      for (int i = 0; i < out.length; i++) {
        long at = from + i - k - stem.startFrame();
        if (at >= 0 && at < stem.samples().length) {
          out[i] += response[k] * stem.samples()[(int) at];
        }
      }
    }
    return out;
  }
}
