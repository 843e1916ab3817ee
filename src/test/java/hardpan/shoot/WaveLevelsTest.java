package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

@NullUnmarked
class WaveLevelsTest {
  /** A pixel holds exactly the extremes of the columns it touches, found by a direct scan. */
  @Test
  void pixelsEqualADirectScan() {
    for (int seed = 0; seed < 300; seed++) {
      Random random = new Random(seed);
      int frames = 1 + random.nextInt(40_000);
      int base = 1 << random.nextInt(8);
      float[] sound = new float[frames];
      for (int i = 0; i < frames; i++) {
        sound[i] = (float) random.nextGaussian();
      }
      WaveLevels levels = levels(sound, base);
      double perPixel = Math.exp(random.nextDouble() * Math.log(frames + 2.0));
      double first = (random.nextDouble() * 1.4 - 0.2) * frames;
      int pixels = 1 + random.nextInt(200);
      double width = base;
      while (2 * width <= perPixel && Math.ceil(frames / width) > 1) {
        width *= 2;
      }
      float[] low = new float[pixels];
      float[] high = new float[pixels];
      levels.extremes(0, first, perPixel, pixels, low, high);
      for (int pixel = 0; pixel < pixels; pixel++) {
        double from = Math.floor((first + pixel * perPixel) / width) * width;
        double to =
            Math.max(from + width, Math.ceil((first + (pixel + 1) * perPixel) / width) * width);
        float least = Float.NaN;
        float most = Float.NaN;
        for (int i = (int) Math.max(0, from); i < Math.min(frames, to); i++) {
          least = Float.isNaN(least) ? sound[i] : Math.min(least, sound[i]);
          most = Float.isNaN(most) ? sound[i] : Math.max(most, sound[i]);
        }
        assertEquals(least, low[pixel], "seed " + seed + " pixel " + pixel);
        assertEquals(most, high[pixel], "seed " + seed + " pixel " + pixel);
      }
    }
  }

  static WaveLevels levels(float[] sound, int base) {
    int count = (sound.length + base - 1) / base;
    float[] minima = new float[count];
    float[] maxima = new float[count];
    for (int column = 0; column < count; column++) {
      minima[column] = sound[column * base];
      maxima[column] = sound[column * base];
      for (int i = column * base; i < Math.min(sound.length, (column + 1) * base); i++) {
        minima[column] = Math.min(minima[column], sound[i]);
        maxima[column] = Math.max(maxima[column], sound[i]);
      }
    }
    return WaveLevels.of(base, List.of(minima), List.of(maxima));
  }

  /** One sample in an hour is seen from any distance. */
  @Test
  void aClickIsNeverLost() {
    float[] sound = new float[3_000_000];
    sound[1_234_567] = 0.9f;
    WaveLevels levels = levels(sound, 64);
    for (int pixels : new int[] {1, 3, 800, 4000}) {
      float[] low = new float[pixels];
      float[] high = new float[pixels];
      levels.extremes(0, 0, (double) sound.length / pixels, pixels, low, high);
      float most = 0;
      for (float value : high) {
        most = Math.max(most, value);
      }
      assertEquals(0.9f, most);
    }
  }

  @Test
  void anOverviewGivesItsOwnColumns() {
    Overview overview = new Overview(2);
    float[][] block = {new float[1000], new float[1000]};
    block[1][999] = -0.5f;
    overview.onBlock(0, block, 1000);
    WaveLevels levels = overview.levels();
    assertEquals(2, levels.channelCount());
    assertEquals(64, levels.framesInColumn());
    assertEquals(16, levels.columnCount());
    float[] low = new float[1];
    levels.extremes(1, 990, 20, 1, low, new float[1]);
    assertEquals(-0.5f, low[0]);
    levels.extremes(1, -40, 30, 1, low, new float[1]);
    assertTrue(Float.isNaN(low[0]));
    assertEquals(0, new Overview(1).levels().columnCount());
  }

  @Test
  void columnsThatDoNotBelongTogetherAreRefused() {
    List<float[]> one = List.of(new float[1]);
    List<float[]> two = List.of(new float[2]);
    assertThrows(IllegalArgumentException.class, () -> WaveLevels.of(1, one, two));
    assertThrows(IllegalArgumentException.class, () -> WaveLevels.of(0, one, one));
  }
}
