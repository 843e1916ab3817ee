package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.media.FfmpegClipWriter;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

@NullUnmarked
class FineWavesTest {
  private static final int RATE_HZ = 48_000;
  private static final int FRAMES = 150_001;
  private static final long SEED = 4711;
  private static final String PATH = "CAM-A/a.mov";

  @TempDir Path folder;
  private final Semaphore news = new Semaphore(0);

  private static float[][] sound() {
    Random random = new Random(SEED);
    float[][] sound = new float[2][FRAMES];
    for (int i = 0; i < FRAMES; i++) {
      sound[0][i] = (float) (0.1 * random.nextGaussian());
      sound[1][i] = (float) (0.05 * random.nextGaussian());
    }
    return sound;
  }

  private Path write(String kind) throws Exception {
    float[][] sound = sound();
    if (kind.equals("wav")) {
      Path file = folder.resolve("a.wav");
      try (WaveFileWriter writer =
          WaveFileWriter.create(file, WaveFormat.float32(RATE_HZ, 2), WaveMetadata.NONE)) {
        writer.writeFloats(sound, FRAMES);
        writer.finish();
      }
      return file;
    }
    Path file = folder.resolve("a.mp4");
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings("mp4", "aac", RATE_HZ, 2, 192_000, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(sound, FRAMES);
    }
    return file;
  }

  private static float[][] decoded(Path file) throws Exception {
    try (SourceReader reader = SourceOpener.open(file)) {
      float[][] all = new float[2][FRAMES + 10_000];
      int got = reader.readAt(0, all, FRAMES + 10_000);
      return new float[][] {
        java.util.Arrays.copyOf(all[0], got), java.util.Arrays.copyOf(all[1], got)
      };
    }
  }

  private FineWaves waves(Path file, long mostBytes) throws Exception {
    Analysis analysis;
    try (Scratch scratch = Scratch.create()) {
      analysis = KeptSamples.analysis(file, scratch);
    }
    ShootSource source =
        new ShootSource(file, PATH, SourceFacts.Kind.CLIP, "CAM-A", 1, null, analysis, null);
    Shoot shoot = new Shoot("brandal", List.of(source), List.of(), null);
    return FineWaves.of(shoot, news::release, mostBytes);
  }

  private void awaitAll(FineWaves waves, FineWaves.Want want) throws Exception {
    waves.want(List.of(want));
    int count = (int) ((want.toFrame() - want.fromFrame()) / want.framesInColumn());
    while (!isFilled(waves, want, count)) {
      assertTrue(news.tryAcquire(60, TimeUnit.SECONDS), "nothing came");
    }
  }

  private static boolean isFilled(FineWaves waves, FineWaves.Want want, int count) {
    int[] columns = columns(waves, want.fromFrame(), want.framesInColumn(), count)[0];
    for (int i = 0; i < count; i++) {
      if (columns[i] != want.framesInColumn()) {
        return false;
      }
    }
    return true;
  }

  private static int[][] columns(FineWaves waves, long from, int width, int count) {
    int[] columns = new int[count];
    float[] low = new float[count];
    waves.extremes(PATH, 0, (double) from, width, 1 << 20, count, low, new float[count], columns);
    return new int[][] {columns};
  }

  /** Backwards and forwards, as a person scrolls; every column equals a direct scan. */
  @ParameterizedTest
  @ValueSource(strings = {"wav", "aac"})
  void columnsEqualADirectScan(String kind) throws Exception {
    Path file = write(kind);
    float[][] sound = decoded(file);
    Random random = new Random(SEED);
    try (FineWaves waves = waves(file, 40L << 20)) {
      for (int round = 0; round < 12; round++) {
        int width = 1 << (2 * random.nextInt(5));
        int count = Math.min(700, sound[0].length / width - 1);
        long from = (long) random.nextInt(sound[0].length / width - count) * width;
        awaitAll(waves, new FineWaves.Want(PATH, from, from + (long) count * width, width));
        for (int channel = 0; channel < 2; channel++) {
          check(waves, sound[channel], channel, from, width, count);
        }
      }
    }
  }

  private static void check(
      FineWaves waves, float[] sound, int channel, long from, int width, int count) {
    float[] low = new float[count];
    float[] high = new float[count];
    waves.extremes(PATH, channel, (double) from, width, 1 << 20, count, low, high, new int[count]);
    for (int pixel = 0; pixel < count; pixel++) {
      float least = Float.MAX_VALUE;
      float most = -Float.MAX_VALUE;
      for (int i = 0; i < width; i++) {
        int at = (int) from + pixel * width + i;
        least = Math.min(least, sound[at]);
        most = Math.max(most, sound[at]);
      }
      assertEquals(least, low[pixel], "width " + width + " from " + from + " pixel " + pixel);
      assertEquals(most, high[pixel], "width " + width + " from " + from + " pixel " + pixel);
    }
  }

  @Test
  void singleSamplesAreTheSoundsOwn() throws Exception {
    Path file = write("wav");
    float[][] sound = sound();
    try (FineWaves waves = waves(file, 40L << 20)) {
      awaitAll(waves, new FineWaves.Want(PATH, FRAMES - 2500, FRAMES, 1));
      float[] samples = new float[3000];
      waves.samples(PATH, 1, FRAMES - 2000, samples);
      for (int i = 0; i < samples.length; i++) {
        float wanted = i < 2000 ? sound[1][FRAMES - 2000 + i] : Float.NaN;
        assertEquals(wanted, samples[i], "at " + i);
      }
      waves.samples(PATH, 1, -50, samples);
      assertTrue(Float.isNaN(samples[0]) && Float.isNaN(samples[50]));
    }
  }

  @Test
  void whatIsPassedOnTheWayIsKeptCoarsely() throws Exception {
    Path file = Files.createDirectories(folder).resolve("long.mp4");
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings("mp4", "aac", RATE_HZ, 2, 64_000, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      for (int second = 0; second < 30; second++) {
        writer.write(new float[2][RATE_HZ], RATE_HZ);
      }
    }
    try (FineWaves waves = waves(file, 40L << 20)) {
      awaitAll(waves, new FineWaves.Want(PATH, 1_200_000, 1_201_000, 1));
      assertEquals(1024, columns(waves, 0, 1024, 4)[0][0]);
      assertEquals(1024, columns(waves, 0, 1, 4)[0][0]);
    }
  }

  @Test
  void memoryIsBounded() throws Exception {
    Path file = write("wav");
    try (FineWaves waves = waves(file, 300_000)) {
      for (long from = 0; from + 3000 < FRAMES; from += 3000) {
        awaitAll(waves, new FineWaves.Want(PATH, from, from + 3000, 1));
        assertTrue(waves.bytes() <= 300_000, "" + waves.bytes());
      }
    }
  }

  @Test
  void aLostFileIsLeftAlone() throws Exception {
    Path file = write("wav");
    try (FineWaves waves = waves(file, 40L << 20)) {
      Files.delete(file);
      assertFalse(waves.isLost(PATH));
      waves.want(List.of(new FineWaves.Want(PATH, 0, 1000, 1)));
      assertTrue(news.tryAcquire(60, TimeUnit.SECONDS));
      assertTrue(waves.isLost(PATH));
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.01, 1, 3.9, 4, 15, 16, 100, 1e12})
  void columnsAreNoLongerThanAPixel(double perPixel) {
    int width = FineWaves.columnFor(perPixel);
    assertTrue(width == 1 || width <= perPixel);
    assertTrue(width == 1 << 20 || width * 4.0 > perPixel);
  }
}
