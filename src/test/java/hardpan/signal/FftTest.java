package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class FftTest {
  @ParameterizedTest
  @ValueSource(ints = {4, 8, 64, 512})
  void agreesWithTheDefinitionOfTheTransform(int size) {
    float[] sound = TestSounds.noise(5, size, 1);
    float[] packed = sound.clone();
    Fft.ofSize(size).forward(packed);
    for (int bin = 0; bin <= size / 2; bin++) {
      double re = 0;
      double im = 0;
      for (int i = 0; i < size; i++) {
        double angle = -2 * Math.PI * ((long) bin * i % size) / size;
        re += sound[i] * Math.cos(angle);
        im += sound[i] * Math.sin(angle);
      }
      float foundRe = bin == size / 2 ? packed[1] : packed[2 * bin];
      float foundIm = bin == 0 || bin == size / 2 ? 0 : packed[2 * bin + 1];
      assertEquals(re, foundRe, 1e-5 * size, "bin " + bin);
      assertEquals(im, foundIm, 1e-5 * size, "bin " + bin);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {4, 1024, 1 << 17})
  void inverseUndoesForward(int size) {
    float[] sound = TestSounds.noise(6, size, 1);
    float[] copy = sound.clone();
    Fft.ofSize(size).forward(copy);
    Fft.ofSize(size).inverse(copy);
    assertArrayEquals(sound, copy, 1e-5f);
  }

  /** The cross-spectrum is a correlation: compared with the sum that defines it. */
  @Test
  void crossSpectrumIsTheCorrelationAndItsSignIsAsDocumented() {
    float[] a = TestSounds.noise(7, 64, 1);
    float[] b = TestSounds.noise(8, 64, 1);
    float[] spectrumA = a.clone();
    float[] spectrumB = b.clone();
    Fft.ofSize(64).forward(spectrumA);
    Fft.ofSize(64).forward(spectrumB);
    float[] cross = new float[64];
    Fft.addCrossSpectrum(spectrumA, spectrumB, cross);
    Fft.ofSize(64).inverse(cross);
    for (int lag = 0; lag < 64; lag++) {
      double sum = 0;
      for (int n = 0; n < 64; n++) {
        sum += a[(n + lag) % 64] * b[n];
      }
      assertEquals(sum, cross[lag], 1e-4, "lag " + lag);
    }
  }

  @Test
  void sizesArePowersOfTwo() {
    assertEquals(4, Fft.sizeFor(0));
    assertEquals(4, Fft.sizeFor(4));
    assertEquals(8, Fft.sizeFor(5));
    assertEquals(1 << 20, Fft.sizeFor((1 << 19) + 1));
    assertThrows(IllegalArgumentException.class, () -> Fft.ofSize(2));
    assertThrows(IllegalArgumentException.class, () -> Fft.ofSize(12));
    assertThrows(ArithmeticException.class, () -> Fft.sizeFor(1L << 40));
  }
}
