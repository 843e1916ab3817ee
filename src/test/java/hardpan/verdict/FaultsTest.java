package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Span;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import hardpan.signal.Fft;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Each fault made by its definition, and sound that has none. */
class FaultsTest {
  private static final List<String> FAULTS =
      List.of(
          "drop-out",
          "digital-silence",
          "noisy",
          "gain-pumping",
          "wind",
          "pops",
          "word-length",
          "band-limited",
          "inter-sample-overs");

  /** Talk in a quiet room, at a usual level, through a coupling capacitor as any microphone's. */
  private static float[] talk(long seed, double seconds) {
    float[] talk = coupled(TestSounds.gain(TestSounds.talk(seed, seconds, RATE), 0.3));
    return TestSounds.sum(talk, noise(seed, talk.length, -72));
  }

  private static float[] noise(long seed, int length, double dbfs) {
    return TestSounds.noise(seed, length, Decibels.toAmplitude(dbfs));
  }

  /** Four high-passes of first order at 40 Hz. */
  private static float[] coupled(float[] sound) {
    float[] out = sound.clone();
    double keep = Math.exp(-2 * Math.PI * 40 / RATE);
    for (int pass = 0; pass < 4; pass++) {
      double state = 0;
      double last = 0;
      for (int i = 0; i < out.length; i++) {
        state = keep * (state + out[i] - last);
        last = out[i];
        out[i] = (float) state;
      }
    }
    return out;
  }

  private static @Nullable Finding found(String code, float[] sound) {
    return found(code, SampleForm.INTEGER, 16, sound);
  }

  private static @Nullable Finding found(String code, SampleForm form, int bits, float[] sound) {
    return Judged.as(form, bits, RATE, sound).channels().get(0).findings().stream()
        .filter(finding -> finding.code().equals(code))
        .findFirst()
        .orElse(null);
  }

  private static List<String> faults(float[] sound) {
    return Judged.as(SampleForm.INTEGER, 24, RATE, sound).channels().get(0).findings().stream()
        .map(Finding::code)
        .filter(FAULTS::contains)
        .toList();
  }

  private static Finding must(@Nullable Finding finding) {
    assertNotNull(finding);
    assertTrue(finding.evidence().containsKey("confidence"), finding.toString());
    assertFalse(finding.remedy().isEmpty());
    return finding;
  }

  private static double seconds(long frame) {
    return (double) frame / RATE;
  }

  private static double figure(Finding finding, String name) {
    Object value = finding.evidence().get(name);
    assertNotNull(value, name);
    return ((Number) value).doubleValue();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void ordinaryTalkAndMusicHaveNone(long seed) {
    assertEquals(List.of(), faults(talk(seed, 15)), "talk, seed " + seed);
    float[] music = coupled(TestSounds.gain(TestSounds.music(seed, 15, RATE), 0.3));
    float[] played = TestSounds.sum(music, noise(seed, music.length, -75));
    assertEquals(List.of(), faults(played), "music, seed " + seed);
  }

  @Test
  void silenceNotNumbersAndNothingHaveNone() {
    assertEquals(List.of(), faults(new float[8 * RATE]));
    assertEquals(List.of(), faults(new float[0]));
    assertEquals(List.of(), faults(new float[100]));
    float[] broken = new float[8 * RATE];
    Arrays.fill(broken, Float.NaN);
    assertEquals(List.of(), faults(broken));
    assertEquals(List.of(), faults(noise(1, 10 * RATE, -70)));
  }

  /** Not-a-number samples here and there are silence to the meters, and their own finding. */
  @Test
  void singleNotNumbersHideNothing() {
    float[] sound = talk(7, 15);
    float[] gap = gap(sound, 5.0, 0.1, 0);
    for (int i = 0; i < gap.length; i += RATE) {
      gap[i] = i % 2 == 0 ? Float.NaN : Float.POSITIVE_INFINITY;
    }
    assertNotNull(found("drop-out", SampleForm.FLOAT, 32, gap));
  }

  /** Steady sound with a hole: the level before and after is certain. */
  private static float[] gap(float[] sound, double atSeconds, double seconds, double restDbfs) {
    float[] out = sound.clone();
    int from = (int) (atSeconds * RATE);
    // A stretch of hum-free steady sound around the hole.
    for (int i = from - RATE / 2; i < from + RATE; i++) {
      out[i] += (float) (0.05 * Math.sin(0.05 * i) + 0.03 * Math.sin(0.173 * i));
    }
    int to = from + (int) (seconds * RATE);
    Random random = new Random(3);
    double rest = restDbfs == 0 ? 0 : Decibels.toAmplitude(restDbfs);
    for (int i = from; i < to; i++) {
      out[i] = (float) (rest * random.nextGaussian());
    }
    return out;
  }

  @ParameterizedTest
  @CsvSource({"0.02, 0", "0.05, -90", "0.1, 0", "0.4, -94"})
  void aHoleInTheSoundIsADropOut(double seconds, double restDbfs) {
    Finding finding = must(found("drop-out", gap(talk(8, 15), 6, seconds, restDbfs)));
    assertEquals(Finding.Severity.FAULT, finding.severity());
    Span span = finding.spans().get(0);
    assertEquals(6, seconds(span.startFrame()), 0.006);
    assertEquals(6 + seconds, seconds(span.endFrame()), 0.006);
    assertEquals(1, figure(finding, "count"));
  }

  /** A pause falls back to the noise of the room, however abruptly. */
  @Test
  void aPauseIsNoDropOut() {
    float[] gated = gap(talk(9, 15), 6, 0.2, -72);
    assertNull(found("drop-out", gated));
  }

  /** Talk without a room has nothing in its pauses, which is no fault. */
  @ParameterizedTest
  @ValueSource(longs = {31, 32, 33, 34})
  void pausesOfDryTalkAreNoDropOuts(long seed) {
    float[] dry = TestSounds.gain(TestSounds.talk(seed, 15, RATE), 0.5);
    assertNull(found("drop-out", dry));
    assertNull(found("drop-out", SampleForm.LOSSY, 0, dry));
    assertNull(found("drop-out", SampleForm.FLOAT, 32, dry));
  }

  @Test
  void aDropOutIsFoundThroughAacToo(@TempDir Path folder) throws Exception {
    float[] sound = gap(talk(8, 15), 6, 0.25, 0);
    List<Finding> findings =
        Judged.through("aac-192000", folder, sound, talk(10, 15)).channels().get(0).findings();
    assertTrue(findings.stream().anyMatch(f -> f.code().equals("drop-out")), findings.toString());
  }

  @Test
  void zerosBesideSoundAreDigitalSilence() {
    float[] sound = talk(11, 20);
    Arrays.fill(sound, 8 * RATE, 11 * RATE, 0);
    Finding finding = must(found("digital-silence", sound));
    assertEquals(List.of(new Span(8 * RATE, 11 * RATE)), finding.spans());
    assertEquals(3, figure(finding, "seconds"), 0.01);
    // Half a second may be an edit, and quiet sound may be rounded to zeros.
    float[] shorter = talk(11, 20);
    Arrays.fill(shorter, 8 * RATE, 8 * RATE + RATE / 2, 0);
    assertNull(found("digital-silence", shorter));
  }

  @Test
  void muchNoiseUnderTalkIsSaid() {
    float[] talk = coupled(TestSounds.gain(TestSounds.talk(12, 20, RATE), 0.3));
    Finding finding = must(found("noisy", TestSounds.sum(talk, noise(12, talk.length, -42))));
    // 7.7 of 24 kHz of white noise.
    assertEquals(-42 + 10 * Math.log10(7.7 / 24), figure(finding, "floorDbfs"), 1.5);
    assertNull(found("noisy", talk(12, 20)));
  }

  /** Gain 12 dB up within a second in each pause, and down at once with the next word. */
  @Test
  void noiseThatSwellsInPausesIsAnAutomaticGain() {
    float[] sound = noise(13, 30 * RATE, -60);
    float[] still = sound.clone();
    for (int phrase = 0; phrase < 10; phrase++) {
      float[] talk = coupled(TestSounds.gain(TestSounds.talk(50 + phrase, 1, RATE), 0.2));
      int at = phrase * 3 * RATE;
      for (int i = 0; i < 2 * RATE; i++) {
        double gainDb = Math.min(12, 12.0 * i / RATE);
        sound[at + RATE + i] *= (float) Decibels.toAmplitude(gainDb);
      }
      for (int i = 0; i < RATE; i++) {
        sound[at + i] += talk[i];
        still[at + i] += talk[i];
      }
    }
    Finding finding = must(found("gain-pumping", sound));
    assertTrue(figure(finding, "swelling") >= 7, finding.toString());
    // The first 0.2 s do not count; the first fifth of the rest lies 4.3 dB up already.
    assertEquals(12 - 4.3, figure(finding, "meanRiseDb"), 1);
    assertFalse(finding.spans().isEmpty());
    assertNull(found("gain-pumping", still));
  }

  @Test
  void deepNoiseIsWindAndABassIsNot() {
    float[] sound = talk(14, 20);
    float[] bass = sound.clone();
    Random random = new Random(14);
    double state = 0;
    for (int i = 0; i < sound.length; i++) {
      state += 0.002 * (random.nextGaussian() - state);
      boolean gust = i / RATE % 5 < 3;
      sound[i] += (float) (gust ? 1.5 * state : 0);
      double note = i % RATE / (double) RATE;
      bass[i] += (float) (0.2 * Math.exp(-2 * note) * Math.sin(2 * Math.PI * 41.2 * note));
    }
    Finding finding = must(found("wind", sound));
    assertTrue(figure(finding, "seconds") > 5, finding.toString());
    assertFalse(finding.spans().isEmpty());
    assertNull(found("wind", bass));
    assertNull(found("pops", bass));
  }

  @Test
  void burstsOfBreathArePops() {
    float[] sound = talk(15, 20);
    for (int n = 0; n < 6; n++) {
      int at = (2 + 3 * n) * RATE;
      for (int i = 0; i < RATE / 4; i++) {
        sound[at + i] +=
            (float) (0.3 * Math.exp(-i / (0.03 * RATE)) * Math.sin(2 * Math.PI * 18 * i / RATE));
      }
    }
    Finding finding = must(found("pops", sound));
    assertEquals(6, figure(finding, "count"), 1);
    assertEquals(2, seconds(finding.spans().get(0).startFrame()), 0.15);
    assertNull(found("wind", sound));
  }

  @Test
  void sixteenBitsInATwentyFourBitFile() {
    float[] sixteen = TestSounds.rounded(talk(16, 8), 16);
    Finding finding = must(found("word-length", SampleForm.INTEGER, 24, sixteen));
    assertEquals(16, figure(finding, "bitsUsed"));
    float[] twentyFour = TestSounds.rounded(talk(16, 8), 24);
    assertNull(found("word-length", SampleForm.INTEGER, 24, twentyFour));
    assertNull(found("word-length", SampleForm.INTEGER, 16, sixteen));
    assertNull(found("word-length", SampleForm.LOSSY, 0, sixteen));
  }

  /** Without what is above a frequency. */
  private static float[] below(float[] sound, double hz) {
    int size = Fft.sizeFor(sound.length);
    float[] data = Arrays.copyOf(sound, size);
    Fft.ofSize(size).forward(data);
    Arrays.fill(data, 2 * (int) (hz / RATE * size), size, 0);
    data[1] = 0;
    Fft.ofSize(size).inverse(data);
    return Arrays.copyOf(data, sound.length);
  }

  /** What was made at another rate ends at half of that rate at the latest. */
  @ParameterizedTest
  @CsvSource({"44100, NOTE", "32000, NOTE", "16000, WARNING", "8000, WARNING"})
  void soundOfALowerRateEndsInAWall(int earlierHz, Finding.Severity severity) {
    float[] full = TestSounds.sum(talk(17, 15), noise(17, 15 * RATE, -58));
    float[] sound = TestSounds.rounded(below(full, 0.47 * earlierHz), 16);
    Finding finding = must(found("band-limited", sound));
    assertEquals(severity, finding.severity());
    assertEquals(0.47 * earlierHz, figure(finding, "highestHz"), 300);
    assertNull(found("band-limited", TestSounds.rounded(talk(17, 15), 16)));
    // An encoder cuts the top off by itself, though not as low as a telephone.
    assertEquals(
        severity == Finding.Severity.WARNING,
        found("band-limited", SampleForm.LOSSY, 0, sound) != null);
  }

  /**
   * Two equal samples alone: half-way between them the filter printed in BS.1770-5, Annex 2, puts
   * out 0.7797851562500 + 0.4650878906250 of them.
   */
  @Test
  void peaksBetweenSamplesAreOvers() {
    float[] sound = talk(18, 10);
    for (int n = 0; n < 5; n++) {
      Arrays.fill(sound, (3 + n) * RATE - 20, (3 + n) * RATE + 20, 0);
      sound[(3 + n) * RATE] = 0.9f;
      sound[(3 + n) * RATE + 1] = 0.9f;
    }
    Finding finding = must(found("inter-sample-overs", sound));
    assertEquals(20 * Math.log10(0.9 * 1.244873046875), figure(finding, "truePeakDbtp"), 0.01);
    assertTrue(figure(finding, "peakDbfs") < 0);
    assertEquals(3, seconds(finding.spans().get(0).startFrame()), 0.1);
    assertNull(found("inter-sample-overs", TestSounds.gain(sound, 0.7)));
  }

  @ParameterizedTest
  @ValueSource(ints = {8000, 11_025, 22_050, 44_100, 96_000, 192_000})
  void everyRateIsTaken(int rateHz) {
    float[] sound =
        TestSounds.sum(
            TestSounds.gain(TestSounds.talk(19, 6, rateHz), 0.3), noise(19, 6 * rateHz, -72));
    List<Finding> findings =
        Judged.as(SampleForm.INTEGER, 24, rateHz, sound).channels().get(0).findings();
    assertTrue(findings.stream().noneMatch(f -> f.code().equals("drop-out")), findings.toString());
  }
}
