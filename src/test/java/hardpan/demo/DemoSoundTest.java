package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import java.io.IOException;
import java.util.Arrays;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** The made sound: the same for a seed, another for another, and shaped like talk and song. */
class DemoSoundTest {
  private static final VoiceMaker.Voice LOW =
      new VoiceMaker.Voice(112, 1.0, 0.95, 0.58, 2600, 0.05);
  private static final VoiceMaker.Voice HIGH =
      new VoiceMaker.Voice(203, 1.16, 1.1, 0.66, 2200, 0.09);

  private static float[] talk(VoiceMaker.Voice voice, long seed, double seconds) {
    return VoiceMaker.speak(voice, seed, new double[][] {{0, seconds}}, 0.5).samples();
  }

  @Test
  void sameSeedGivesTheSameFloats() {
    assertArrayEquals(talk(LOW, 5, 4), talk(LOW, 5, 4));
    assertNotEquals(Arrays.hashCode(talk(LOW, 5, 4)), Arrays.hashCode(talk(LOW, 6, 4)));
    assertArrayEquals(
        ChoirMaker.sing(5, 0, 6, 0.5).samples(), ChoirMaker.sing(5, 0, 6, 0.5).samples());
    assertArrayEquals(applause(5).samples(), applause(5).samples());
  }

  private static Stem applause(long seed) {
    return CrowdMaker.gather(seed, -1, 4, new double[][] {{1, 3, 1}});
  }

  @Test
  void renderingAClipTwiceGivesTheSameFloats() throws IOException {
    float[] once = render(40_000);
    assertArrayEquals(once, render(40_000));
    assertTrue(IntStream.range(0, once.length).anyMatch(i -> Math.abs(once[i]) > 0.01));
  }

  private static float[] render(int frames) throws IOException {
    float[] all = new float[frames];
    int[] at = {0};
    ClipPlan clip = DemoShoot.STRANGER;
    ClipRenderer.render(
        Stage.otherEvening(1, 3),
        clip.clock(),
        new DeviceChain(clip.electronics(), 48000, 1),
        0,
        frames,
        (planar, count) -> {
          System.arraycopy(planar[0], 0, all, at[0], count);
          at[0] += count;
        },
        Monitor.SILENT);
    assertEquals(frames, at[0]);
    return all;
  }

  /** Talk has peaks 12 to 22 dB over its average (common practice, no source) and pauses. */
  @Test
  void talkHasTheLevelsOfTalk() {
    float[] samples = talk(LOW, 11, 30);
    double peak = 0;
    double activePower = 0;
    int active = 0;
    int blocks = samples.length / 2400;
    for (int b = 0; b < blocks; b++) {
      double power = 0;
      for (int i = b * 2400; i < (b + 1) * 2400; i++) {
        peak = Math.max(peak, Math.abs(samples[i]));
        power += samples[i] * samples[i] / 2400.0;
      }
      if (power > 1e-5) {
        active++;
        activePower += power;
      }
    }
    assertEquals(0.5, peak, 1e-6);
    double crestDb = 20 * Math.log10(peak) - 10 * Math.log10(activePower / active);
    assertEquals(17, crestDb, 5);
    assertEquals(0.75, active / (double) blocks, 0.2);
  }

  /**
   * Power above 4 kHz is there, and far below the power around 500 Hz, as in any long-term mean.
   */
  @Test
  void talkReachesEightKilohertzAndFalls() {
    float[] samples = talk(HIGH, 12, 20);
    double middle = bandDb(samples, 300, 800);
    double upper = bandDb(samples, 4000, 8000);
    assertEquals(-20, upper - middle, 10);
  }

  /** The pitch of the two speakers is far apart: strongest period of a long stretch. */
  @Test
  void voicesDifferInPitch() {
    assertEquals(112, pitch(talk(LOW, 13, 20)), 22);
    assertEquals(203, pitch(talk(HIGH, 13, 20)), 40);
  }

  private static double pitch(float[] samples) {
    double best = 0;
    int bestLag = 0;
    for (int lag = 160; lag < 600; lag += 2) {
      double sum = 0;
      for (int i = 0; i + lag < samples.length; i += 3) {
        sum += samples[i] * samples[i + lag];
      }
      if (sum > best) {
        best = sum;
        bestLag = lag;
      }
    }
    return 48000.0 / bestLag;
  }

  /** Power in a band by a plain transform of many short pieces. */
  private static double bandDb(float[] samples, double lowHz, double highHz) {
    int length = 480;
    double sum = 0;
    for (int from = 0; from + length <= samples.length; from += 10 * length) {
      for (double hertz = lowHz; hertz <= highHz; hertz += 100) {
        double re = 0;
        double im = 0;
        for (int i = 0; i < length; i++) {
          double window = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / length);
          re += window * samples[from + i] * Math.cos(2 * Math.PI * hertz * i / 48000);
          im += window * samples[from + i] * Math.sin(2 * Math.PI * hertz * i / 48000);
        }
        sum += re * re + im * im;
      }
    }
    return 10 * Math.log10(sum);
  }

  @Test
  void hardInputIsCutAtTheCeilingAndInvertedSideIsUpsideDown() {
    DeviceChain chain =
        new DeviceChain(
            new DeviceChain.Electronics(new double[] {10, -0.5}, new double[] {0, 0}, 0.89, false),
            48000,
            1);
    float[][] planar = {{0.5f, -0.5f, 0.01f}, {0.5f, -0.5f, 0.01f}};
    chain.process(planar, 3);
    assertArrayEquals(new float[] {0.89f, -0.89f, 0.1f}, planar[0], 1e-6f);
    assertArrayEquals(new float[] {-0.25f, 0.25f, -0.005f}, planar[1], 1e-6f);
  }

  @Test
  void automaticGainLiftsQuietSoundSlowly() {
    DeviceChain chain =
        new DeviceChain(
            new DeviceChain.Electronics(new double[] {1}, new double[] {0}, null, true), 48000, 1);
    float[][] planar = new float[1][48000 * 8];
    for (int i = 0; i < planar[0].length; i++) {
      planar[0][i] = (float) (0.03 * Math.sin(0.1 * i));
    }
    chain.process(planar, planar[0].length);
    double early = peak(planar[0], 0, 4800);
    double late = peak(planar[0], 48000 * 7, 48000 * 8);
    assertTrue(early < 0.04, "early " + early);
    assertTrue(late > 0.07, "late " + late);
  }

  private static double peak(float[] samples, int from, int to) {
    double peak = 0;
    for (int i = from; i < to; i++) {
      peak = Math.max(peak, Math.abs(samples[i]));
    }
    return peak;
  }
}
