package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

@NullUnmarked
class OverviewTest {
  private static final int MOST = 4096;

  /** Every column must hold exactly the extremes of the samples it stands for. */
  @Test
  void columnsEqualADirectScan() {
    for (int seed = 0; seed < 40; seed++) {
      Random random = new Random(seed);
      int frames = 1 + random.nextInt(seed % 4 == 0 ? 1_500_000 : 200_000);
      float[][] sound = new float[2][frames];
      for (float[] channel : sound) {
        for (int i = 0; i < frames; i++) {
          channel[i] = (float) random.nextGaussian();
        }
      }
      Overview overview = new Overview(2);
      for (int at = 0; at < frames; ) {
        int count = Math.min(frames - at, 1 + random.nextInt(20_000));
        float[][] block = new float[2][count + 3];
        for (int channel = 0; channel < 2; channel++) {
          System.arraycopy(sound[channel], at, block[channel], 0, count);
          block[channel][count] = 1e9f;
        }
        overview.onBlock(at, block, count);
        at += count;
      }
      int most = seed % 2 == 0 ? MOST : 1 + random.nextInt(900);
      check(seed, sound, overview, most);
    }
  }

  private static void check(int seed, float[][] sound, Overview overview, int most) {
    int frames = sound[0].length;
    int width = 64;
    while ((frames + width - 1) / width > MOST) {
      width *= 2;
    }
    int base = (frames + width - 1) / width;
    int count = Math.min(most, base);
    List<float[]> minima = overview.minima(most);
    List<float[]> maxima = overview.maxima(most);
    for (int channel = 0; channel < 2; channel++) {
      assertEquals(count, minima.get(channel).length, "seed " + seed);
      float[] low = new float[count];
      float[] high = new float[count];
      java.util.Arrays.fill(low, Float.POSITIVE_INFINITY);
      java.util.Arrays.fill(high, Float.NEGATIVE_INFINITY);
      for (int i = 0; i < frames; i++) {
        int column = (int) ((long) (i / width) * count / base);
        low[column] = Math.min(low[column], sound[channel][i]);
        high[column] = Math.max(high[column], sound[channel][i]);
      }
      for (int column = 0; column < count; column++) {
        assertEquals(low[column], minima.get(channel)[column], "seed " + seed + " at " + column);
        assertEquals(high[column], maxima.get(channel)[column], "seed " + seed + " at " + column);
      }
    }
  }

  @Test
  void nothingGivesNoColumns() {
    assertTrue(new Overview(1).minima(800).get(0).length == 0);
  }
}
