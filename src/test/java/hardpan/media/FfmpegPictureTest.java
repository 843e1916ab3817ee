package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import hardpan.signal.FrameRate;
import hardpan.signal.Timecode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** How the pictures of clips are counted. */
@NullUnmarked
class FfmpegPictureTest {
  @TempDir Path folder;

  @ParameterizedTest
  @CsvSource({"mov, pcm_s16le", "mp4, aac", "mpegts, ac3"})
  void ownClipsHave25(String container, String codec) throws Exception {
    FfmpegPicture picture = FfmpegPicture.of(clip(container, codec, true));
    assertTrue(picture.present());
    assertEquals(new Timecode(new FrameRate(25, 1), false), picture.counted());
  }

  @Test
  void soundAloneHasNoPicture() throws Exception {
    FfmpegPicture none = FfmpegPicture.of(clip("mov", "pcm_s16le", false));
    assertFalse(none.present());
    assertNull(none.counted());
  }

  @Test
  void whatCannotBeReadHasNothing() throws Exception {
    assertNull(FfmpegPicture.of(folder.resolve("nowhere.mov")));
    assertNull(FfmpegPicture.of(Files.writeString(folder.resolve("text.mov"), "no movie")));
  }

  /** Files of another writer, the FFmpeg program; skipped where it is not installed. */
  @ParameterizedTest
  @CsvSource({
    "24000/1001, 01:00:00:00, 24000/1001, false",
    "30000/1001, 01:00:00;02, 30000/1001, true",
    "30000/1001, 01:00:00:02, 30000/1001, false",
    "60000/1001, 01:00:00;04, 60000/1001, true",
    "50, 10:00:00:00, 50/1, false",
  })
  void theProgramsClips(String rate, String start, String wanted, boolean drop) throws Exception {
    Path file = folder.resolve("x.mov");
    boolean made =
        run(
            "ffmpeg",
            "-v",
            "error",
            "-y",
            "-f",
            "lavfi",
            "-i",
            "testsrc=s=64x36:d=2:r=" + rate,
            "-timecode",
            start,
            "-c:v",
            "mpeg4",
            file.toString());
    assumeTrue(made, "there is no ffmpeg here");
    FfmpegPicture picture = FfmpegPicture.of(file);
    assertEquals(wanted, picture.counted().rate().toString());
    assertEquals(drop, picture.counted().dropFrame());
  }

  private static boolean run(String... command) throws Exception {
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      assertTrue(process.waitFor(60, TimeUnit.SECONDS));
      assertEquals(0, process.exitValue());
      return true;
    } catch (IOException e) {
      System.out.println("Skipped: there is no ffmpeg here.");
      return false;
    }
  }

  private Path clip(String container, String codec, boolean picture) throws Exception {
    Path file = folder.resolve("a." + container);
    var settings =
        new FfmpegClipWriter.Settings(container, codec, 48_000, 2, 192_000, picture, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(new float[2][48_000 * 3], 48_000 * 3);
    }
    return file;
  }
}
