package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PeaksTest {
  /** Pulses that fill a share of the band; a bare parabola would be wrong by up to 0.12 sample. */
  @ParameterizedTest
  @ValueSource(doubles = {0.25, 0.42, 0.6, 0.9})
  void thePlaceBetweenSamplesIsFoundForBothSigns(double band) {
    for (double place = 99.5; place <= 100.5; place += 0.03) {
      float[] upright = pulse(band, place, 1);
      int top = Math.round((float) place);
      assertEquals(place, Peaks.refine(upright, top), 0.002, "band " + band);
      assertEquals(place, Peaks.refine(pulse(band, place, -1), top), 0.002, "band " + band);
    }
  }

  private static float[] pulse(double band, double place, double size) {
    float[] pulse = new float[200];
    for (int i = 0; i < pulse.length; i++) {
      double distance = i - place;
      pulse[i] =
          (float) (size * Windows.sinc(band * distance) * Windows.kaiserAt(distance / 90, 4));
    }
    return pulse;
  }

  @Test
  void atTheEndsTheSampleItselfIsTheAnswer() {
    float[] ramp = {5, 1, 0, 0, 7};
    assertEquals(0, Peaks.refine(ramp, 0));
    assertEquals(4, Peaks.refine(ramp, 4));
  }

  @Test
  void scatterIsTheDeviationOfTheNoiseNotOfThePeak() {
    float[] noise = TestSounds.noise(1, 50_000, 2);
    for (int i = 100; i < 200; i++) {
      noise[i] = 1000;
    }
    assertEquals(2, Peaks.scatter(noise), 0.1);
    assertEquals(0, Peaks.scatter(new float[100]));
    assertEquals(0, Peaks.scatter(new float[0]));
  }

  @Test
  void strongestPeaksKeepTheirSignAndTheirDistance() {
    float[] noise = TestSounds.noise(2, 10_000, 1);
    noise[3000] = -60;
    noise[3004] = 50;
    noise[7000] = 40;
    noise[9000] = 25;
    List<Peaks.Peak> peaks = Peaks.strongest(noise, Peaks.scatter(noise), 4, 7, 0.5, 20);
    assertEquals(2, peaks.size());
    assertEquals(3000, peaks.get(0).lag(), 0.2);
    assertTrue(peaks.get(0).height() < -50);
    assertEquals(7000, peaks.get(1).lag(), 0.2);
    assertEquals(0, Peaks.strongest(new float[100], 0, 4, 7, 0.5, 20).size());
    float[] plain = TestSounds.noise(3, 5000, 1);
    assertEquals(0, Peaks.strongest(plain, Peaks.scatter(plain), 4, 7, 0.5, 20).size());
  }
}
