package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MediaAccessException;
import hardpan.base.Monitor;
import hardpan.media.SourceFacts;
import hardpan.wave.WaveFormat;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CloseLookTest {
  private static final int RATE = 48_000;

  @TempDir Path folder;

  private ShootSource source(float[]... planar) throws Exception {
    Path file = folder.resolve("x.wav");
    ShootSamples.wave(file, WaveFormat.integer(24, RATE, planar.length), planar);
    return new ShootSource(file, "x.wav", SourceFacts.Kind.RECORDING, "REC", 1, null, null, null);
  }

  private static float[] sine(double hz, double level, double ceiling) {
    float[] sound = new float[4 * RATE];
    for (int i = 0; i < sound.length; i++) {
      double value = level * Math.sin(2 * Math.PI * hz * i / RATE);
      sound[i] = (float) Math.max(-ceiling, Math.min(ceiling, value));
    }
    return sound;
  }

  @Test
  void everySampleIsCountedOnceAndTheCeilingStandsOut() throws Exception {
    CloseLook look = CloseLook.of(source(sine(440, 1, 0.5)), Monitor.SILENT);
    CloseLook.Channel channel = look.channels().get(0);
    assertEquals(4 * RATE, Arrays.stream(channel.counts()).sum());
    assertEquals(4 * RATE, channel.frameCount());
    int top = CloseLook.cell(0.4999f, CloseLook.LEVEL_CELLS);
    // A sine is beyond half its height for a third of the time on each side.
    assertEquals(2.0 * RATE * 4 / 6, (double) channel.counts()[top], RATE * 0.1);
    assertEquals(0, channel.counts()[top + 2]);
    assertEquals(
        Math.sqrt(0.5), CloseLook.rootOf(top, CloseLook.LEVEL_CELLS), 2 * 1.155 / 256 + 1e-9);
    assertTrue(look.pair().isEmpty());
  }

  @Test
  void theSpectrumHasItsLineWhereTheToneIs() throws Exception {
    CloseLook look = CloseLook.of(source(sine(1500, 0.1, 1)), Monitor.SILENT);
    CloseLook.Channel channel = look.channels().get(0);
    int bin = (int) Math.round(1500 / channel.hzPerBin());
    assertEquals(-20, channel.spectrumDb()[bin], 0.1);
    assertTrue(channel.spectrumDb()[2 * bin] < -100, "second " + channel.spectrumDb()[2 * bin]);
  }

  @Test
  void anInvertedPairLiesOnTheFallingDiagonal() throws Exception {
    float[] left = sine(300, 0.5, 1);
    float[] right = new float[left.length];
    for (int i = 0; i < left.length; i++) {
      right[i] = -left[i];
    }
    CloseLook look = CloseLook.of(source(left, right), Monitor.SILENT);
    long on = 0;
    long off = 0;
    int size = CloseLook.PAIR_CELLS;
    for (int row = 0; row < size; row++) {
      for (int column = 0; column < size; column++) {
        if (Math.abs(row + column - (size - 1)) <= 1) {
          on += look.pair().get(row)[column];
        } else {
          off += look.pair().get(row)[column];
        }
      }
    }
    assertEquals(4 * RATE, on);
    assertEquals(0, off);
  }

  @Test
  void cellsHoldWhateverComes() {
    assertEquals(0, CloseLook.cell(Float.NEGATIVE_INFINITY, 10));
    assertEquals(9, CloseLook.cell(1e30f, 10));
    assertEquals(5, CloseLook.cell(Float.NaN, 10));
    assertEquals(5, CloseLook.cell(0, 10));
  }

  @Test
  void itCanBeCancelledAndSaysWhenTheFileIsGone() throws Exception {
    ShootSource source = source(sine(300, 0.5, 1));
    Monitor stopped =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {}

          @Override
          public boolean isCancelled() {
            return true;
          }
        };
    assertThrows(CancellationException.class, () -> CloseLook.of(source, stopped));
    ShootSource gone =
        new ShootSource(
            folder.resolve("gone.wav"),
            "gone.wav",
            SourceFacts.Kind.RECORDING,
            "REC",
            1,
            null,
            null,
            null);
    assertThrows(MediaAccessException.class, () -> CloseLook.of(gone, Monitor.SILENT));
  }
}
