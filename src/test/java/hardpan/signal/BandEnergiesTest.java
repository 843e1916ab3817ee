package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class BandEnergiesTest {
  private static List<byte[]> map(float[] sound, int rateHz) {
    List<byte[]> frames = new ArrayList<>();
    BandEnergies energies = new BandEnergies(rateHz, values -> frames.add(values.clone()));
    energies.add(sound, 0, sound.length);
    energies.finish();
    return frames;
  }

  @Test
  void theSizeOfTheBlocksDoesNotMatter() {
    float[] talk = TestSounds.talk(1, 2.013, 44_100);
    List<byte[]> whole = map(talk, 44_100);
    List<byte[]> pieces = new ArrayList<>();
    BandEnergies energies = new BandEnergies(44_100, values -> pieces.add(values.clone()));
    Random random = new Random(2);
    for (int at = 0; at < talk.length; ) {
      int count = Math.min(talk.length - at, random.nextInt(3000));
      energies.add(talk, at, count);
      at += count;
    }
    energies.finish();
    assertEquals(whole.size(), pieces.size());
    for (int i = 0; i < whole.size(); i++) {
      assertArrayEquals(whole.get(i), pieces.get(i), "frame " + i);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {8_000, 16_000, 22_050, 32_000, 44_100, 48_000, 96_000})
  void aSecondHasAHundredFramesAtEveryRate(int rateHz) {
    assertEquals(100, map(new float[rateHz], rateHz).size());
    assertEquals(1, map(new float[1], rateHz).size());
    assertEquals(0, map(new float[0], rateHz).size());
  }

  /** A click must show in the frame whose middle it is, and the maps of all rates must agree. */
  @ParameterizedTest
  @ValueSource(ints = {8_000, 16_000, 22_050, 44_100, 48_000, 96_000})
  void framesOfAllRatesMeanTheSameTime(int rateHz) {
    float[] sound = new float[2 * rateHz];
    sound[(int) Math.round(0.7 * rateHz)] = 1;
    List<byte[]> frames = map(sound, rateHz);
    int loudest = 0;
    for (int i = 0; i < frames.size(); i++) {
      loudest = frames.get(i)[4] > frames.get(loudest)[4] ? i : loudest;
    }
    assertEquals(70, loudest);
    assertEquals(frames.get(69)[4], frames.get(71)[4], 2, "the click is not in the middle");
  }

  /** The same talk at two rates gives the same map in the bands both can carry. */
  @ParameterizedTest
  @CsvSource({"8000, 11", "22050, 16", "44100, 16"})
  void bandsOfAllRatesMeanTheSamePitch(int rateHz, int bands) {
    float[] talk = TestSounds.talk(3, 6, 48_000);
    double ratio = 48_000.0 / rateHz;
    float[] other = TestSounds.read(talk, 0, ratio, (int) (talk.length / ratio));
    List<byte[]> first = map(talk, 48_000);
    List<byte[]> second = map(other, rateHz);
    for (int band = 0; band < bands; band++) {
      double[] differences = new double[first.size() - 10];
      for (int i = 5; i < first.size() - 5; i++) {
        differences[i - 5] = Math.abs(first.get(i)[band] - second.get(i)[band]) * 0.5;
      }
      assertTrue(
          Statistics.median(differences) <= 4,
          "band " + band + " differs by " + Statistics.median(differences) + " dB");
    }
  }

  @Test
  void silenceReadsAsTheLowestLevel() {
    float[] odd = new float[4800];
    Arrays.fill(odd, Float.NaN);
    for (float[] silence : List.of(new float[4800], odd)) {
      for (byte[] frame : map(silence, 48_000)) {
        for (byte value : frame) {
          assertTrue(BandEnergies.decibels(value) <= -124);
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource({"2000, 48000", "3000, 44100", "5000, 48000", "2500, 22050"})
  void aFullScaleSineReadsNothingInItsBandWithinOneDecibel(double hz, int rateHz) {
    byte[] frame = map(TestSounds.sine(hz, rateHz, rateHz, 1, 0), rateHz).get(50);
    double loudest = -200;
    for (byte value : frame) {
      loudest = Math.max(loudest, BandEnergies.decibels(value));
    }
    assertEquals(0, loudest, 1.0);
  }

  @Test
  void ratesTooLowAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> new BandEnergies(999, values -> {}));
  }
}
