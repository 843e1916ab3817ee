package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MediaAccessException;
import hardpan.base.UnsupportedMediaException;
import hardpan.media.FfmpegClipWriter.Settings;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FfmpegClipWriterTest {
  private static final OffsetDateTime STARTED = OffsetDateTime.parse("2026-06-13T18:04:05+02:00");

  private static float[][] noise(int channels, int frames) {
    Random random = new Random(11);
    float[][] planar = new float[channels][frames];
    for (float[] channel : planar) {
      for (int i = 0; i < frames; i++) {
        channel[i] = (float) (random.nextGaussian() * 0.1);
      }
    }
    return planar;
  }

  @ParameterizedTest
  @CsvSource({
    "mov, pcm_s16le",
    "mov, pcm_s24le",
    "mov, pcm_f32le",
    "mp4, aac",
    "mpegts, ac3",
    "wav, pcm_s24le"
  })
  void sameSoundGivesTheSameBytesWhateverTheBlockSize(
      String container, String codec, @TempDir Path dir) throws Exception {
    boolean picture = !container.equals("wav");
    Settings settings = new Settings(container, codec, 48_000, 2, null, picture, STARTED);
    float[][] sound = noise(2, 48_123);
    Path whole = dir.resolve("whole");
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(whole, settings)) {
      writer.write(sound, 48_123);
    }
    Path pieces = dir.resolve("pieces");
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(pieces, settings)) {
      for (int at = 0; at < 48_123; at += 777) {
        int count = Math.min(777, 48_123 - at);
        float[][] piece = new float[2][count];
        for (int c = 0; c < 2; c++) {
          System.arraycopy(sound[c], at, piece[c], 0, count);
        }
        writer.write(piece, count);
      }
    }
    assertTrue(Files.size(whole) > 10_000);
    assertArrayEquals(Files.readAllBytes(whole), Files.readAllBytes(pieces));
  }

  @Test
  void anExistingFileIsKept(@TempDir Path dir) throws Exception {
    Path file = dir.resolve("a.mov");
    Files.writeString(file, "precious");
    Settings settings = new Settings("mov", "pcm_s16le", 48_000, 1, null, false, null);
    assertThrows(MediaAccessException.class, () -> FfmpegClipWriter.create(file, settings));
    assertEquals("precious", Files.readString(file));
  }

  @Test
  void theNameAppearsOnlyWhenTheFileIsFinished(@TempDir Path dir) throws Exception {
    Path file = dir.resolve("a.mov");
    Settings settings = new Settings("mov", "pcm_s16le", 48_000, 1, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(noise(1, 4800), 4800);
      assertFalse(Files.exists(file));
    }
    assertTrue(Files.exists(file));
    try (Stream<Path> files = Files.list(dir)) {
      assertEquals(1, files.count());
    }
  }

  @Test
  void whatCannotBeWrittenIsSaidAndLeavesNothing(@TempDir Path dir) throws Exception {
    Settings noEncoder = new Settings("mov", "no_such_codec", 48_000, 1, null, false, null);
    assertThrows(
        UnsupportedMediaException.class,
        () -> FfmpegClipWriter.create(dir.resolve("a.mov"), noEncoder));
    Settings noFormat = new Settings("no_such_format", "aac", 48_000, 1, null, false, null);
    assertThrows(
        UnsupportedMediaException.class,
        () -> FfmpegClipWriter.create(dir.resolve("b.mov"), noFormat));
    Settings good = new Settings("mov", "pcm_s16le", 48_000, 1, null, false, null);
    assertThrows(
        MediaAccessException.class,
        () -> FfmpegClipWriter.create(dir.resolve("no/such/folder/c.mov"), good));
    try (Stream<Path> files = Files.list(dir)) {
      assertEquals(0, files.count());
    }
  }
}
