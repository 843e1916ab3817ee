package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import hardpan.base.Monitor;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DecodePassTest {
  private static Path clip(Path dir, int frames) throws Exception {
    return MediaSamples.write(
        dir.resolve("a.mov"),
        MediaSamples.settings("mov", "pcm_s16le", 48_000, 1),
        new float[1][frames]);
  }

  @Test
  void everyListenerGetsEveryBlockInOrder(@TempDir Path dir) throws Exception {
    int frames = 2 * DecodePass.BLOCK_FRAMES;
    List<String> calls = new ArrayList<>();
    List<Double> shares = new ArrayList<>();
    Monitor monitor =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {
            shares.add(fraction);
          }

          @Override
          public boolean isCancelled() {
            return false;
          }
        };
    try (SourceReader reader = FfmpegReader.open(clip(dir, frames))) {
      long read =
          DecodePass.run(
              reader,
              List.of(
                  (start, planar, count) -> calls.add("a" + start + "+" + count),
                  (start, planar, count) -> calls.add("b" + start + "+" + count)),
              monitor);
      assertEquals(frames, read);
    }
    assertEquals(List.of("a0+8192", "b0+8192", "a8192+8192", "b8192+8192"), calls);
    assertEquals(List.of(0.5, 1.0), shares);
  }

  @Test
  void cancellingStopsBeforeTheNextBlock(@TempDir Path dir) throws Exception {
    List<Long> starts = new ArrayList<>();
    Monitor monitor =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {}

          @Override
          public boolean isCancelled() {
            return starts.size() == 2;
          }
        };
    try (SourceReader reader = FfmpegReader.open(clip(dir, 100_000))) {
      assertThrows(
          CancellationException.class,
          () ->
              DecodePass.run(
                  reader, List.of((start, planar, count) -> starts.add(start)), monitor));
    }
    assertEquals(List.of(0L, 8192L), starts);
  }
}
