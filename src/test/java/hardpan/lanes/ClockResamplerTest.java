package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Holds resampled sound against the same sound evaluated at the output's own times: a sum of tones
 * is known at any time, so no second resampler is needed.
 */
@NullUnmarked
class ClockResamplerTest {
  private static final double TWO_PI = 2 * Math.PI;

  @TempDir Path folder;

  /** Noise-like: many tones of random pitch and phase. */
  private record Tones(double[] hz, double[] phase) {
    static Tones upTo(double highestHz, long seed) {
      Random random = new Random(seed);
      double[] hz = random.doubles(60, 20, highestHz).toArray();
      hz[0] = highestHz;
      return new Tones(hz, random.doubles(60, 0, TWO_PI).toArray());
    }

    double at(double seconds) {
      double sum = 0;
      for (int i = 0; i < hz.length; i++) {
        sum += Math.sin(TWO_PI * hz[i] * seconds + phase[i]);
      }
      return 0.4 * sum / Math.sqrt(hz.length);
    }
  }

  @ParameterizedTest
  @CsvSource({
    "48000, 48000, 60, 0.25, 18000",
    "48000, 48000, -60, 0, 18000",
    "48000, 48000, 0, 0.999, 18000",
    "44100, 48000, 60, 0.5, 16500",
    "96000, 48000, -35, 0.1, 18000",
    "8000, 48000, 12, 0.7, 3000",
    "48000, 44100, 3, 0.3, 16500",
  })
  void theToneSumComesOutAsCalculated(
      int sourceHz, int laneHz, double ppm, double first, double highestHz) {
    Tones tones = Tones.upTo(highestHz, 71);
    double step = (double) sourceHz / laneHz / (1 + ppm * 1e-6);
    float[] in = new float[sourceHz];
    for (int i = 0; i < in.length; i++) {
      in[i] = (float) tones.at((double) i / sourceHz);
    }
    float[] out = run(in, step, first, new Random(1), 4096);
    int length = 0;
    while (first + length * step < in.length) {
      length++;
    }
    assertEquals(length, out.length);
    double error = 0;
    double power = 0;
    int edge = laneHz / 50;
    for (int i = edge; i < out.length - edge; i++) {
      double wanted = tones.at((first + i * step) / sourceHz);
      error += (out[i] - wanted) * (out[i] - wanted);
      power += wanted * wanted;
    }
    double db = 10 * Math.log10(error / power);
    assertTrue(db < -100, "error " + db + " dB");
  }

  @Test
  void whatALowerRateCannotCarryIsTakenOut() {
    float[] in = new float[96_000];
    for (int i = 0; i < in.length; i++) {
      in[i] = (float) (0.9 * Math.sin(TWO_PI * 31_000 * i / 96_000));
    }
    float[] out = run(in, 2, 0, new Random(2), 5000);
    double peak = 0;
    for (int i = 1000; i < out.length - 1000; i++) {
      peak = Math.max(peak, Math.abs(out[i]));
    }
    assertTrue(peak < 1e-4, "left over: " + 20 * Math.log10(peak) + " dBFS");
  }

  @ParameterizedTest
  @CsvSource({"1.00006, 0.3", "0.99994, -0.5", "0.91875, 0", "2.0001, 0.9", "1.00006, 5000.25"})
  void blocksLeaveNoTrace(double step, double first) {
    Random random = new Random(3);
    float[] in = new float[70_000];
    for (int i = 0; i < in.length; i++) {
      in[i] = (float) random.nextGaussian();
    }
    float[] whole = run(in, step, first, random, 0);
    for (int most : new int[] {1, 77, 1 << 14, 60_000}) {
      if (most == 1) {
        assertArrayEquals(
            run(copy(in, 3000), step, first, random, 0),
            run(copy(in, 3000), step, first, random, 1));
      } else {
        assertArrayEquals(whole, run(in, step, first, random, most), "blocks up to " + most);
      }
    }
  }

  @Test
  void nothingGivesNothing() {
    assertEquals(0, run(new float[0], 1.00006, 0, new Random(4), 0).length);
    assertEquals(1, run(new float[] {1}, 1.00006, 0, new Random(4), 0).length);
    assertThrows(IllegalArgumentException.class, () -> new ClockResampler(0, 0));
    assertThrows(IllegalArgumentException.class, () -> new ClockResampler(1, -1.5));
    assertThrows(IllegalArgumentException.class, () -> new ClockResampler(Double.NaN, 0));
  }

  /**
   * The whole way: a source whose clock differs heard a sound that is known at every time of the
   * reference; its lane must carry that sound at the reference's own sample times.
   */
  @ParameterizedTest
  @CsvSource({
    "48000, 1.2345678, 60",
    "48000, -0.7654321, 60",
    "48000, -0.5, -45",
    "44100, 0.333333, 60",
    "44100, -2.0000001, -20",
    "48000, 0, 60",
  })
  void aCorrectedLaneLiesOnTheReferencesGrid(int rateHz, double offset, double ppm)
      throws IOException {
    Tones tones = Tones.upTo(16_000, 72);
    float[] in = new float[rateHz * 2];
    for (int i = 0; i < in.length; i++) {
      in[i] = (float) tones.at(offset + (double) i / rateHz * (1 + ppm * 1e-6));
    }
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.float32(rateHz, 1), WaveMetadata.NONE, in);
    LaneSource source = LaneSamples.source(file, LaneSamples.placed(offset, ppm, false, 0), false);
    WrittenLane lane = LaneSamples.write(source, DriftCorrection.ON, folder).get(0);
    assertTrue(lane.lane().resample());
    assertEquals(48_000, lane.lane().format().rateHz());
    long start = lane.startFrameOnReference();
    assertEquals((long) Math.ceil(offset * 48_000 - 1e-9), start);
    assertEquals(3600L * 48_000 + start, lane.timeReferenceSamples());
    double sourceSeconds = 2 * (1 + ppm * 1e-6);
    assertEquals(
        Math.ceil((offset + sourceSeconds) * 48_000 - 1e-6) - start, (double) lane.frameCount(), 1);
    float[] out = LaneSamples.floats(folder.resolve(lane.lane().fileName()));
    assertEquals(lane.frameCount(), out.length);
    double error = 0;
    double power = 0;
    for (int i = 1000; i < out.length - 1000; i++) {
      double wanted = tones.at((start + i) / 48_000.0);
      error += (out[i] - wanted) * (out[i] - wanted);
      power += wanted * wanted;
    }
    double db = 10 * Math.log10(error / power);
    assertTrue(db < -100, "error " + db + " dB");
  }

  /** Sound cut off below full scale swings beyond it between its samples. */
  @Test
  void peaksBetweenSamplesAreNotCutOff() throws IOException {
    Random random = new Random(73);
    float[] in = new float[96_000];
    double low = 0;
    for (int i = 0; i < in.length; i++) {
      low = 0.5 * low + random.nextGaussian();
      in[i] = (float) Math.max(-0.84, Math.min(0.84, 4 * low));
    }
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.integer(24, 48_000, 1), WaveMetadata.NONE, in);
    LaneSource source = LaneSamples.source(file, LaneSamples.placed(0, 60, false, 0), false);
    WrittenLane lane = LaneSamples.write(source, DriftCorrection.ON, folder).get(0);
    double peak = 0;
    for (float value : LaneSamples.floats(folder.resolve(lane.lane().fileName()))) {
      peak = Math.max(peak, Math.abs(value));
    }
    assertEquals(0, lane.clampedSamples());
    assertTrue(peak > 1, "the test sound must swing over: " + peak);
  }

  @Test
  void quietSoundIsCorrectedInto24Bits() throws IOException {
    float[] in = LaneSamples.speech(74, 48_000, 2, 0.4, 16);
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.integer(16, 48_000, 1), WaveMetadata.NONE, in);
    LaneSource source = LaneSamples.source(file, LaneSamples.placed(0, 60, false, 0), false);
    WrittenLane lane = LaneSamples.write(source, DriftCorrection.ON, folder).get(0);
    assertEquals(new Lane.Format(false, 24, 48_000), lane.lane().format());
  }

  private static float[] copy(float[] in, int count) {
    return java.util.Arrays.copyOf(in, count);
  }

  /** Feeds blocks of random size up to {@code most}; 0 feeds all at once. */
  private static float[] run(float[] in, double step, double first, Random random, int most) {
    ClockResampler resampler = new ClockResampler(step, first);
    List<float[]> parts = new ArrayList<>();
    for (int at = 0; at < in.length; ) {
      int left = in.length - at;
      int count = most == 0 ? left : Math.min(left, 1 + random.nextInt(most));
      float[] block = new float[count + 10];
      System.arraycopy(in, at, block, 0, count);
      block[count] = 99;
      parts.add(resampler.add(block, count));
      at += count;
    }
    parts.add(resampler.finish());
    float[] out = new float[parts.stream().mapToInt(part -> part.length).sum()];
    int at = 0;
    for (float[] part : parts) {
      System.arraycopy(part, 0, out, at, part.length);
      at += part.length;
    }
    return out;
  }
}
