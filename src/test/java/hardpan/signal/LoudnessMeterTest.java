package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The synthetic cases of EBU Tech 3341 v4, table 1, and EBU Tech 3342 v4, table 1; numbers and
 * tolerances are theirs. Tones are 1 kHz sines in phase on left and right.
 */
class LoudnessMeterTest {
  private static final double SILENCE = Double.NEGATIVE_INFINITY;

  /** A stretch of a test signal: seconds and level in dBFS of each channel. */
  private record Part(double seconds, List<Double> dbfs) {}

  private static Part tone(double seconds, double dbfs) {
    return new Part(seconds, List.of(dbfs, dbfs));
  }

  private static List<Part> times(int count, Part... parts) {
    List<Part> all = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      all.addAll(Arrays.asList(parts));
    }
    return all;
  }

  private static float[][] synthesise(int rateHz, List<Part> parts) {
    long total = Math.round(parts.stream().mapToDouble(Part::seconds).sum() * rateHz);
    float[][] planar = new float[parts.get(0).dbfs().size()][(int) total];
    double seconds = 0;
    for (Part part : parts) {
      int from = (int) Math.round(seconds * rateHz);
      seconds += part.seconds();
      int to = (int) Math.min(total, Math.round(seconds * rateHz));
      for (int channel = 0; channel < planar.length; channel++) {
        double amplitude = Math.pow(10, part.dbfs().get(channel) / 20);
        for (int i = from; i < to; i++) {
          planar[channel][i] = (float) (amplitude * Math.sin(2 * Math.PI * 1000 * i / rateHz));
        }
      }
    }
    return planar;
  }

  private static LoudnessMeter measure(int rateHz, List<Part> parts) {
    return measureSamples(LoudnessMeter.ofChannels(rateHz, 1, 1), synthesise(rateHz, parts));
  }

  /** Feeds blocks of odd lengths. */
  private static LoudnessMeter measureSamples(LoudnessMeter meter, float[][] planar) {
    for (int at = 0; at < planar[0].length; at += 1234) {
      meter.add(planar, at, Math.min(1234, planar[0].length - at));
    }
    return meter;
  }

  private static void assertReads(double expected, @Nullable Double actual, double tolerance) {
    assertNotNull(actual);
    assertEquals(expected, actual, tolerance);
  }

  /** ITU-R BS.1770-5, Annex 1, tables 1 and 2: all printed digits. */
  @Test
  void weightingAt48KilohertzIsAsPrinted() {
    assertArrayEquals(
        new double[] {
          1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585
        },
        KWeighting.shelf(48_000),
        1e-14);
    assertArrayEquals(
        new double[] {-1.99004745483398, 0.99007225036621}, KWeighting.highPass(48_000), 1e-14);
  }

  /**
   * The standard prints no other rate; these were computed apart from this code, by the same
   * bilinear transform. What must hold is the response, and that is checked next.
   */
  @Test
  void weightingAtOtherRatesIsTheBilinearTransform() {
    assertArrayEquals(
        new double[] {
          1.53084123005035, -2.65097999515473, 1.16907907992159, -1.66365511325602, 0.71259542807323
        },
        KWeighting.shelf(44_100),
        1e-14);
    assertArrayEquals(
        new double[] {
          1.55971422897580, -2.92674157825108, 1.37826120231582, -1.84460946989011, 0.85584332293064
        },
        KWeighting.shelf(96_000),
        1e-14);
    assertArrayEquals(
        new double[] {-1.99501754472472, 0.99502375904092}, KWeighting.highPass(96_000), 1e-14);
  }

  /** BS.1770-5, Annex 1: the same frequency response at every rate. 997 Hz reads its level. */
  @ParameterizedTest
  @ValueSource(ints = {8_000, 11_025, 22_050, 32_000, 44_100, 48_000, 88_200, 96_000, 192_000})
  void fullScaleToneInOneChannelReadsMinusThree(int rateHz) {
    float[] tone = new float[5 * rateHz];
    for (int i = 0; i < tone.length; i++) {
      tone[i] = (float) Math.sin(2 * Math.PI * 997 * i / rateHz);
    }
    LoudnessMeter mono = LoudnessMeter.mono(rateHz);
    mono.add(tone, 0, tone.length);
    assertReads(-3.01, mono.integratedLufs(), 0.05);
    LoudnessMeter both = LoudnessMeter.ofChannels(rateHz, 1, 1);
    both.add(new float[][] {tone, tone}, 0, tone.length);
    assertReads(0, both.integratedLufs(), 0.05);
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void cases1And2SteadyTones(int rateHz) {
    for (double level : new double[] {-23, -33}) {
      LoudnessMeter meter = measure(rateHz, List.of(tone(20, level)));
      assertReads(level, meter.integratedLufs(), 0.1);
      assertReads(level, meter.maxMomentaryLufs(), 0.1);
      assertReads(level, meter.maxShortTermLufs(), 0.1);
      assertReads(level, meter.momentaryLufs(), 0.1);
      assertReads(level, meter.shortTermLufs(), 0.1);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void cases3To5Gating(int rateHz) {
    List<List<Part>> cases =
        List.of(
            List.of(tone(10, -36), tone(60, -23), tone(10, -36)),
            List.of(tone(10, -72), tone(10, -36), tone(60, -23), tone(10, -36), tone(10, -72)),
            List.of(tone(20, -26), tone(20.1, -20), tone(20, -26)));
    for (List<Part> parts : cases) {
      assertReads(-23, measure(rateHz, parts).integratedLufs(), 0.1);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void case6ChannelWeights(int rateHz) {
    LoudnessMeter meter = LoudnessMeter.ofChannels(rateHz, 1, 1, 1, 1.41, 1.41);
    measureSamples(
        meter,
        synthesise(rateHz, List.of(new Part(20, List.of(-28.0, -28.0, -24.0, -30.0, -30.0)))));
    assertReads(-23, meter.integratedLufs(), 0.1);
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void case9ShortTermIsSteadyAfterThreeSeconds(int rateHz) {
    float[][] planar = synthesise(rateHz, times(5, tone(1.34, -20), tone(1.66, -30)));
    LoudnessMeter meter = LoudnessMeter.ofChannels(rateHz, 1, 1);
    int step = rateHz / 100;
    for (int at = 0; at + step <= planar[0].length; at += step) {
      meter.add(planar, at, step);
      if (at + step >= 3 * rateHz) {
        assertReads(-23, meter.shortTermLufs(), 0.1);
      } else {
        assertNull(meter.shortTermLufs());
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void case10LargestShortTermWhereverItLies(int rateHz) {
    for (int i = 0; i < 20; i++) {
      List<Part> parts = List.of(tone(0.15 * i, SILENCE), tone(3, -23), tone(1, SILENCE));
      assertReads(-23, measure(rateHz, parts).maxShortTermLufs(), 0.1);
    }
  }

  /** One stream whose parts grow louder: after each, the largest value so far is its own. */
  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void cases11And14LargestValuesInTurn(int rateHz) {
    LoudnessMeter shortTerm = LoudnessMeter.ofChannels(rateHz, 1, 1);
    LoudnessMeter momentary = LoudnessMeter.ofChannels(rateHz, 1, 1);
    for (int i = 0; i < 20; i++) {
      List<Part> long3 =
          List.of(tone(0.15 * i, SILENCE), tone(3, -38 + i), tone(3 - 0.15 * i, SILENCE));
      measureSamples(shortTerm, synthesise(rateHz, long3));
      assertReads(-38 + i, shortTerm.maxShortTermLufs(), 0.1);
      List<Part> short04 =
          List.of(tone(0.02 * i, SILENCE), tone(0.4, -38 + i), tone(0.4 - 0.02 * i, SILENCE));
      measureSamples(momentary, synthesise(rateHz, short04));
      assertReads(-38 + i, momentary.maxMomentaryLufs(), 0.1);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void case12MomentaryIsSteadyAfterOneSecond(int rateHz) {
    float[][] planar = synthesise(rateHz, times(25, tone(0.18, -20), tone(0.22, -30)));
    LoudnessMeter meter = LoudnessMeter.ofChannels(rateHz, 1, 1);
    int step = rateHz / 100;
    for (int at = 0; at + step <= planar[0].length; at += step) {
      meter.add(planar, at, step);
      if (at + step >= rateHz) {
        assertReads(-23, meter.momentaryLufs(), 0.1);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void case13LargestMomentaryWhereverItLies(int rateHz) {
    for (int i = 0; i < 20; i++) {
      List<Part> parts = List.of(tone(0.02 * i, SILENCE), tone(0.4, -23), tone(1, SILENCE));
      assertReads(-23, measure(rateHz, parts).maxMomentaryLufs(), 0.1);
    }
  }

  /** EBU Tech 3342 v4, table 1. */
  @ParameterizedTest
  @ValueSource(ints = {44_100, 48_000, 96_000})
  void rangeCases1To4(int rateHz) {
    double[][] levels = {{-20, -30}, {-20, -15}, {-40, -20}, {-50, -35, -20, -35, -50}};
    double[] ranges = {10, 5, 20, 15};
    for (int i = 0; i < levels.length; i++) {
      List<Part> parts = Arrays.stream(levels[i]).mapToObj(level -> tone(20, level)).toList();
      assertReads(ranges[i], measure(rateHz, parts).loudnessRangeLu(), 1);
    }
  }

  @Test
  void emptySilentAndShortInputHasNoLoudness() {
    assertNothing(LoudnessMeter.mono(48_000));
    LoudnessMeter silent = LoudnessMeter.mono(48_000);
    silent.add(new float[48_000 * 5], 0, 48_000 * 5);
    assertNothing(silent);
    LoudnessMeter quarter = LoudnessMeter.mono(48_000);
    float[] loud = new float[48_000];
    for (int i = 0; i < loud.length; i++) {
      loud[i] = (float) Math.sin(i * 0.13);
    }
    quarter.add(loud, 0, 12_000);
    assertNothing(quarter);
    quarter.add(loud, 12_000, 12_000);
    assertNotNull(quarter.integratedLufs());
    assertNull(quarter.maxShortTermLufs());
    assertNull(quarter.loudnessRangeLu());
  }

  private static void assertNothing(LoudnessMeter meter) {
    assertNull(meter.integratedLufs());
    assertNull(meter.loudnessRangeLu());
    assertNull(meter.maxMomentaryLufs());
    assertNull(meter.maxShortTermLufs());
    assertNull(meter.momentaryLufs());
    assertNull(meter.shortTermLufs());
  }

  /** Below the absolute gate there is no integrated loudness, but a momentary one. */
  @Test
  void whatStaysBelowTheGateHasNoIntegratedLoudness() {
    LoudnessMeter meter = measure(48_000, List.of(tone(10, -75)));
    assertNull(meter.integratedLufs());
    assertNull(meter.loudnessRangeLu());
    assertReads(-75, meter.maxMomentaryLufs(), 0.1);
  }

  @Test
  void samplesThatAreNoNumbersCountAsSilence() {
    float[] clean = synthesise(48_000, List.of(tone(5, -20)))[0];
    float[] broken = clean.clone();
    for (int i = 0; i < 100; i++) {
      clean[1000 + 7 * i] = 0;
      broken[1000 + 7 * i] = i % 2 == 0 ? Float.NaN : Float.NEGATIVE_INFINITY;
    }
    LoudnessMeter expected = measureSamples(LoudnessMeter.mono(48_000), new float[][] {clean});
    LoudnessMeter actual = measureSamples(LoudnessMeter.mono(48_000), new float[][] {broken});
    assertEquals(expected.integratedLufs(), actual.integratedLufs());
    LoudnessMeter huge = LoudnessMeter.mono(48_000);
    float[] largest = new float[48_000];
    Arrays.fill(largest, 0, 24_000, Float.MAX_VALUE);
    huge.add(largest, 0, largest.length);
    Double lufs = huge.integratedLufs();
    assertTrue(lufs != null && Double.isFinite(lufs));
  }

  /** Against the definitions worked out directly, keeping every sample and every block. */
  @ParameterizedTest
  @ValueSource(ints = {32_000, 48_000})
  void agreesWithTheDefinitionsOnAChangingProgramme(int rateHz) {
    long seed = 1770;
    SplittableRandom random = new SplittableRandom(seed);
    float[] samples = new float[90 * rateHz];
    double level = 0.1;
    for (int i = 0; i < samples.length; i++) {
      if (i % (rateHz / 3) == 0) {
        level = Math.pow(10, -(5 + 50 * random.nextDouble()) / 20);
      }
      samples[i] = (float) (level * (2 * random.nextDouble() - 1));
    }
    LoudnessMeter meter = measureSamples(LoudnessMeter.mono(rateHz), new float[][] {samples});
    double[] squares = weightedSquares(rateHz, samples);
    double[] blocks = windows(squares, rateHz * 4 / 10, rateHz / 10);
    assertReads(gatedMean(blocks, 10), meter.integratedLufs(), 0.02);
    assertReads(
        maxLufs(windows(squares, rateHz * 4 / 10, rateHz / 100)), meter.maxMomentaryLufs(), 1e-6);
    assertReads(
        maxLufs(windows(squares, rateHz * 3, rateHz / 100)), meter.maxShortTermLufs(), 1e-6);
    double[] padded = Arrays.copyOf(squares, squares.length + rateHz * 3 / 2);
    assertReads(range(windows(padded, rateHz * 3, rateHz / 10)), meter.loudnessRangeLu(), 0.05);
  }

  /** Direct form I, as the block diagrams of BS.1770-5 draw it. */
  private static double[] weightedSquares(int rateHz, float[] samples) {
    double[] s = KWeighting.shelf(rateHz);
    double[] h = KWeighting.highPass(rateHz);
    double[] y = new double[samples.length + 2];
    double[] z = new double[samples.length + 2];
    double[] squares = new double[samples.length];
    for (int i = 0; i < samples.length; i++) {
      double x1 = i < 1 ? 0 : samples[i - 1];
      double x2 = i < 2 ? 0 : samples[i - 2];
      y[i + 2] = s[0] * samples[i] + s[1] * x1 + s[2] * x2 - s[3] * y[i + 1] - s[4] * y[i];
      z[i + 2] = y[i + 2] - 2 * y[i + 1] + y[i] - h[0] * z[i + 1] - h[1] * z[i];
      squares[i] = z[i + 2] * z[i + 2];
    }
    return squares;
  }

  private static double[] windows(double[] squares, int length, int step) {
    double[] sums = new double[squares.length + 1];
    for (int i = 0; i < squares.length; i++) {
      sums[i + 1] = sums[i] + squares[i];
    }
    double[] powers = new double[(squares.length - length) / step + 1];
    Arrays.setAll(powers, i -> (sums[i * step + length] - sums[i * step]) / length);
    return powers;
  }

  private static double lufs(double power) {
    return -0.691 + 10 * Math.log10(power);
  }

  private static double maxLufs(double[] powers) {
    return lufs(Arrays.stream(powers).max().orElseThrow());
  }

  private static double[] gated(double[] powers, double gateLu) {
    double[] kept = Arrays.stream(powers).filter(power -> lufs(power) >= -70).toArray();
    double gate = lufs(Arrays.stream(kept).average().orElseThrow()) - gateLu;
    return Arrays.stream(kept).filter(power -> lufs(power) > gate).toArray();
  }

  private static double gatedMean(double[] powers, double gateLu) {
    return lufs(Arrays.stream(gated(powers, gateLu)).average().orElseThrow());
  }

  private static double range(double[] powers) {
    double[] kept = gated(powers, 20);
    Arrays.sort(kept);
    int low = (int) Math.round((kept.length - 1) * 0.10);
    int high = (int) Math.round((kept.length - 1) * 0.95);
    return lufs(kept[high]) - lufs(kept[low]);
  }

  @Test
  void ratesAndWeightsOutOfRangeAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> LoudnessMeter.mono(7_999));
    assertThrows(IllegalArgumentException.class, () -> LoudnessMeter.mono(192_001));
    assertThrows(IllegalArgumentException.class, () -> LoudnessMeter.ofChannels(48_000, -1));
    LoudnessMeter mono = LoudnessMeter.mono(48_000);
    assertThrows(IllegalArgumentException.class, () -> mono.add(new float[2][5], 0, 5));
  }
}
