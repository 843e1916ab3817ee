package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.UnsupportedMediaException;
import hardpan.media.SourceFacts.ReadBy;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FfmpegLibrariesTest {
  /** What a machine for which there are no native libraries does; its exit code is the answer. */
  static final class WithoutLibraries {
    private WithoutLibraries() {}

    public static void main(String[] arguments) throws Exception {
      System.exit(check(Path.of(arguments[0]), Path.of(arguments[1])));
    }

    private static int check(Path clip, Path other) throws Exception {
      if (FfmpegLibraries.available()
          || FfmpegLibraries.failure().isEmpty()
          || !FfmpegLibraries.version().isEmpty()) {
        return 10;
      }
      try (SourceReader reader = SourceOpener.open(clip)) {
        if (reader.facts().readBy() != ReadBy.FALLBACK
            || MediaSamples.readAll(reader)[0].length != 48_000) {
          return 11;
        }
      }
      for (ReaderChoice choice : ReaderChoice.values()) {
        try (SourceReader reader = SourceOpener.open(other, choice)) {
          return 12;
        } catch (UnsupportedMediaException e) {
          DamagedFilesTest.assertSentence(e);
        }
      }
      return 0;
    }
  }

  @Test
  void theVersionNamesTheLicence() {
    assertTrue(FfmpegLibraries.available(), FfmpegLibraries.failure());
    assertTrue(FfmpegLibraries.version().contains("LGPL"), FfmpegLibraries.version());
  }

  @Test
  void withoutThemClipsAreReadByTheFallbackAndTheRestIsRefused(@TempDir Path dir) throws Exception {
    float[][] sound = MediaSamples.speechLike(61, 48_000, 2, 48_000);
    Path clip =
        MediaSamples.write(
            dir.resolve("a.mp4"), MediaSamples.settings("mp4", "aac", 48_000, 2), sound);
    Path other =
        MediaSamples.write(
            dir.resolve("a.mts"), MediaSamples.settings("mpegts", "ac3", 48_000, 2), sound);
    Process process =
        new ProcessBuilder(
                List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-Dorg.bytedeco.javacpp.platform=no-such-platform",
                    "-cp",
                    System.getProperty("java.class.path"),
                    WithoutLibraries.class.getName(),
                    clip.toString(),
                    other.toString()))
            .inheritIO()
            .start();
    try {
      assertTrue(process.waitFor(60, TimeUnit.SECONDS));
      assertEquals(0, process.exitValue());
    } finally {
      process.destroyForcibly();
    }
  }
}
