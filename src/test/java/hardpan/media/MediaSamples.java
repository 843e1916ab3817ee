package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;

import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter.Settings;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Random;

/** Seeded test sound, files made of it, and ways to compare. */
final class MediaSamples {
  private MediaSamples() {}

  static Settings settings(String container, String codec, int rateHz, int channels) {
    return new Settings(container, codec, rateHz, channels, null, false, null);
  }

  static Path write(Path file, Settings settings, float[][] planar) throws IOException {
    return write(file, settings, planar, 1, Map.of());
  }

  static Path write(
      Path file, Settings settings, float[][] planar, int tracks, Map<String, String> options)
      throws IOException {
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings, tracks, options)) {
      writer.write(planar, planar[0].length);
    }
    return file;
  }

  /** Noise on the grid of so many bits, full range included. */
  static float[][] onGrid(long seed, int bits, int channels, int frames) {
    Random random = new Random(seed);
    float[][] planar = new float[channels][frames];
    double scale = Math.scalb(1.0, bits - 1);
    for (float[] channel : planar) {
      for (int i = 0; i < frames; i++) {
        // Adding 0 makes a negative zero positive, as whole numbers have none.
        channel[i] = (float) (Math.rint((random.nextDouble() * 2 - 1) * (scale - 1)) / scale) + 0f;
      }
      channel[0] = -1f;
      channel[1] = (float) ((scale - 1) / scale);
    }
    return planar;
  }

  /** A voice-like sound: harmonics of a wandering pitch in syllables, with a little noise. */
  static float[][] speechLike(long seed, int rateHz, int channels, int frames) {
    Random random = new Random(seed);
    float[][] planar = new float[channels][frames];
    for (float[] channel : planar) {
      double phase = 0;
      double pitch = 110 + 60 * random.nextDouble();
      double syllables = 3 + random.nextDouble();
      double shift = random.nextDouble() * 6;
      for (int i = 0; i < frames; i++) {
        double t = (double) i / rateHz;
        double hz = pitch * (1 + 0.15 * Math.sin(2 * Math.PI * 0.7 * t + shift));
        phase += 2 * Math.PI * hz / rateHz;
        double syllable = Math.max(0, Math.sin(2 * Math.PI * syllables * t + shift));
        double voice = 0;
        for (int h = 1; h <= 20; h++) {
          double formant = Math.exp(-Math.pow((h * hz - 600) / 500, 2)) + 0.3 / h;
          voice += formant * Math.sin(h * phase + h * h);
        }
        channel[i] = (float) (0.06 * syllable * voice + 0.002 * random.nextGaussian());
      }
    }
    return planar;
  }

  static float[][] readAll(SourceReader reader) throws IOException {
    Collector collector = new Collector(reader.facts().channelCount());
    long frames = DecodePass.run(reader, List.of(collector), Monitor.SILENT);
    assertEquals(frames, collector.frames);
    return collector.trimmed();
  }

  static float[][] readAll(Path file) throws IOException {
    try (SourceReader reader = FfmpegReader.open(file)) {
      return readAll(reader);
    }
  }

  static int[][] readAllIntegers(SourceReader reader, int frames) throws IOException {
    int[][] planar = new int[reader.facts().channelCount()][frames];
    int[][] block = new int[planar.length][1000];
    int at = 0;
    while (at < frames) {
      int got = reader.readIntegersAt(at, block, Math.min(1000, frames - at));
      for (int c = 0; c < planar.length; c++) {
        System.arraycopy(block[c], 0, planar[c], at, got);
      }
      at += got;
      if (got == 0) {
        break;
      }
    }
    assertEquals(frames, at);
    return planar;
  }

  /** The lag at which {@code decoded} matches {@code written} best, in frames. */
  static int lag(float[] written, float[] decoded, int from, int length, int maxLag) {
    double best = Double.NEGATIVE_INFINITY;
    int bestLag = Integer.MIN_VALUE;
    for (int lag = -maxLag; lag <= maxLag; lag++) {
      double sum = 0;
      for (int i = from; i < from + length; i++) {
        sum += written[i] * decoded[i + lag];
      }
      if (sum > best) {
        best = sum;
        bestLag = lag;
      }
    }
    return bestLag;
  }

  static String hash(Path file) throws IOException {
    try {
      return HexFormat.of()
          .formatHex(MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(file)));
    } catch (NoSuchAlgorithmException e) {
      throw new AssertionError(e);
    }
  }

  private static final class Collector implements BlockListener {
    private float[][] all;
    private int frames;

    Collector(int channels) {
      all = new float[channels][1 << 16];
    }

    @Override
    public void onBlock(long startFrame, float[][] planar, int frameCount) {
      assertEquals(frames, startFrame);
      while (frames + frameCount > all[0].length) {
        for (int c = 0; c < all.length; c++) {
          all[c] = Arrays.copyOf(all[c], all[c].length * 2);
        }
      }
      for (int c = 0; c < all.length; c++) {
        System.arraycopy(planar[c], 0, all[c], frames, frameCount);
      }
      frames += frameCount;
    }

    float[][] trimmed() {
      float[][] result = new float[all.length][];
      for (int c = 0; c < all.length; c++) {
        result[c] = Arrays.copyOf(all[c], frames);
      }
      return result;
    }
  }
}
