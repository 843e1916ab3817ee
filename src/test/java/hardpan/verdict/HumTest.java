package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Mains frequencies are 50 and 60 Hz (IEC 60038, from memory), within 1 % (EN 50160, from memory).
 */
class HumTest {
  private static final double SECONDS = 12;

  private static float[] hum(double hz, double dbfs, int lines) {
    float[] sum = new float[(int) (SECONDS * RATE)];
    double power = 0;
    for (int k = 1; k <= lines; k++) {
      power += 0.5 / k / k;
    }
    double scale = Decibels.toAmplitude(dbfs) / Math.sqrt(power);
    for (int k = 1; k <= lines; k++) {
      sum = TestSounds.sum(sum, TestSounds.sine(k * hz, RATE, sum.length, scale / k, k));
    }
    return sum;
  }

  private static float[] talk(long seed) {
    float[] talk = TestSounds.gain(TestSounds.talk(seed, SECONDS, RATE), 0.5);
    return TestSounds.sum(talk, TestSounds.noise(seed, talk.length, Decibels.toAmplitude(-75)));
  }

  private static @Nullable Finding found(float[] sound) {
    return Judged.straight(sound).channels().get(0).findings().stream()
        .filter(finding -> finding.code().equals("hum"))
        .findFirst()
        .orElse(null);
  }

  private static double figure(Finding finding, String name) {
    Object value = finding.evidence().get(name);
    assertNotNull(value);
    return (Double) value;
  }

  @ParameterizedTest
  @CsvSource({
    "50, -50, 5",
    "60, -50, 5",
    "50.4, -45, 3",
    "59.5, -40, 6",
    "49.6, -35, 8",
    "60, -40, 1"
  })
  void humUnderTalkIsFoundWithItsFrequencyAndLevel(double hz, double dbfs, int lines) {
    Finding finding = found(TestSounds.sum(talk(3), hum(hz, dbfs, lines)));
    assertNotNull(finding);
    assertEquals(hz, figure(finding, "fundamentalHz"), 0.1);
    assertEquals(dbfs, figure(finding, "levelDbfs"), 2.5);
  }

  /** Mains wanders by some hundredths of a hertz, and its phase never jumps. */
  @Test
  void wanderingMainsIsFoundInALongTake() {
    float[] sound = TestSounds.gain(TestSounds.talk(8, 60, RATE), 0.5);
    double phase = 0;
    for (int i = 0; i < sound.length; i++) {
      double hz = 49.98 + 0.02 * Math.sin(2 * Math.PI * i / (45.0 * RATE));
      phase += 2 * Math.PI * hz / RATE;
      sound[i] += (float) (0.003 * Math.sin(phase) + 0.002 * Math.sin(2 * phase + 1));
    }
    Finding finding = found(sound);
    assertNotNull(finding);
    assertEquals(49.98, figure(finding, "fundamentalHz"), 0.05);
    assertEquals(List.of(), finding.spans());
  }

  @Test
  void humThatComesLaterHasASpan() {
    float[] sound = TestSounds.gain(TestSounds.talk(9, 120, RATE), 0.5);
    int from = 80 * RATE;
    for (int i = from; i < sound.length; i++) {
      sound[i] += (float) (0.003 * Math.sin(2 * Math.PI * 60.0 * i / RATE));
    }
    Finding finding = found(sound);
    assertNotNull(finding);
    assertEquals(1, finding.spans().size());
    assertEquals(80, finding.spans().get(0).startFrame() / (double) RATE, 9);
    assertEquals(120, finding.spans().get(0).endFrame() / (double) RATE, 9);
  }

  /** Chords that an organ holds for two to five seconds, some notes on a multiple of the mains. */
  @Test
  void heldChordsNearMultiplesHaveNone() {
    Random random = new Random(6);
    float[] sum = TestSounds.noise(6, 60 * RATE, Decibels.toAmplitude(-75));
    double[] notes = {98, 100, 120, 123.47, 146.83, 174.61, 246.94, 349.23, 300, 440};
    for (int at = 0; at < sum.length; ) {
      int length = Math.min(sum.length - at, (int) ((2 + 3 * random.nextDouble()) * RATE));
      for (int n = 0; n < 3; n++) {
        double hz = notes[random.nextInt(notes.length)];
        double phase = 6 * random.nextDouble();
        for (int i = 0; i < length; i++) {
          double edge = Math.min(1, Math.min(i, length - i) / 2000.0);
          sum[at + i] += (float) (0.1 * edge * Math.sin(phase + 2 * Math.PI * hz * i / RATE));
        }
      }
      at += length;
    }
    assertNull(found(sum));
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13, 14, 15, 16})
  void talkAloneHasNone(long seed) {
    assertNull(found(talk(seed)), "seed " + seed);
  }

  @ParameterizedTest
  @ValueSource(longs = {21, 22, 23, 24})
  void musicHasNone(long seed) {
    float[] music = TestSounds.gain(TestSounds.music(seed, SECONDS, RATE), 0.5);
    assertNull(found(music), "seed " + seed);
  }

  /** Bass notes lie 2 to 3 % beside the mains: G is 49.0 Hz, B is 61.7 Hz at A = 440 Hz. */
  @Test
  void aBassLineBesideTheMainsHasNone() {
    float[] sum = new float[(int) (SECONDS * RATE)];
    double[] notes = {49.0, 61.74, 58.27, 98.0, 123.47, 116.54};
    Random random = new Random(5);
    int at = 0;
    while (at < sum.length) {
      int length = Math.min(sum.length - at, (int) ((0.8 + 2 * random.nextDouble()) * RATE));
      double hz = notes[random.nextInt(notes.length)];
      for (int i = 0; i < length; i++) {
        double size = 0.2 * Math.exp(-2.0 * i / length) * Math.min(1, (length - i) / 500.0);
        sum[at + i] = (float) (size * Math.sin(2 * Math.PI * hz * i / RATE));
      }
      at += length;
    }
    assertNull(found(sum));
  }

  @Test
  void silenceNotNumbersAndTooShortSoundHaveNone() {
    assertNull(found(new float[8 * RATE]));
    float[] broken = new float[8 * RATE];
    Arrays.fill(broken, Float.NaN);
    assertNull(found(broken));
    assertNull(found(TestSounds.sine(50, RATE, 2 * RATE, 0.1, 0)));
  }

  /** Rates whose decimation has a remainder, and one too slow to have room for the multiples. */
  @ParameterizedTest
  @ValueSource(ints = {8000, 22_050, 44_100, 96_000})
  void otherRatesAreMeasuredToo(int rateHz) {
    float[] sound = TestSounds.noise(9, 10 * rateHz, Decibels.toAmplitude(-70));
    for (int k = 1; k <= 3; k++) {
      sound = TestSounds.sum(sound, TestSounds.sine(50.2 * k, rateHz, sound.length, 0.01, k));
    }
    boolean told =
        Judged.as(SampleForm.INTEGER, rateHz, sound).channels().get(0).findings().stream()
            .anyMatch(finding -> finding.code().equals("hum"));
    assertEquals(true, told);
    float[] slow = TestSounds.sine(50, 700, 7000, 0.1, 0);
    assertEquals(1, Judged.as(SampleForm.INTEGER, 700, slow).channels().size());
  }
}
