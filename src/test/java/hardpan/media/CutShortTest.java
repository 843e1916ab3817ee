package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.media.FfmpegClipWriter.Settings;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Clips whose end is missing are read as far as they go, and say so where it can be known. */
class CutShortTest {
  private static final int FRAMES = 240_000;

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path dir;

  private byte[] whole(String container, String codec, String flags) throws IOException {
    boolean picture = !container.startsWith("mxf");
    Settings settings = new Settings(container, codec, 48_000, 1, null, picture, null);
    Path file =
        MediaSamples.write(
            dir.resolve("whole"),
            settings,
            MediaSamples.speechLike(5, 48_000, 1, FRAMES),
            1,
            flags.isEmpty() ? Map.of() : Map.of("movflags", flags));
    try (SourceReader reader = SourceOpener.open(file)) {
      assertEquals(List.of(), reader.oddities());
    }
    return Files.readAllBytes(file);
  }

  @ParameterizedTest
  @CsvSource({
    "avi, pcm_s16le, ''",
    "matroska, aac, ''",
    "mov, pcm_s24le, faststart",
    "mp4, aac, faststart",
    "mp4, aac, frag_keyframe+empty_moov",
    "mpegts, ac3, ''",
    "mxf_opatom, pcm_s16le, ''"
  })
  void whatIsThereIsRead(String container, String codec, String flags) throws IOException {
    byte[] bytes = whole(container, codec, flags);
    // An odd length, so that a transport stream ends inside a packet.
    Path cut =
        Files.write(
            dir.resolve("cut"), Arrays.copyOf(bytes, bytes.length * 6 / 10 / 188 * 188 + 5));
    try (SourceReader reader = SourceOpener.open(cut)) {
      int read = MediaSamples.readAll(reader)[0].length;
      assertTrue(read > FRAMES / 2 && read < FRAMES * 7 / 10, read + " frames");
      assertEquals(1, reader.oddities().size());
      assertTrue(reader.oddities().get(0).contains("cut short"), reader.oddities().toString());
    }
  }

  @Test
  void aMatroskaFileOfUnknownLengthWasNeverFinished() throws IOException {
    byte[] bytes = whole("matroska", "aac", "");
    int segment = indexOf(bytes, "\u0018S\u0080g");
    bytes[segment + 4] = 1;
    Arrays.fill(bytes, segment + 5, segment + 12, (byte) 0xFF);
    Path file = Files.write(dir.resolve("unfinished"), bytes);
    try (SourceReader reader = SourceOpener.open(file)) {
      assertTrue(reader.oddities().get(0).contains("never finished"));
      assertTrue(MediaSamples.readAll(reader)[0].length >= FRAMES);
    }
  }

  @Test
  void aMovieWithoutAnIndexSaysWhatCanBeTried() throws IOException {
    byte[] bytes = whole("mov", "pcm_s24le", "");
    Path cut = Files.write(dir.resolve("cut.mov"), Arrays.copyOf(bytes, bytes.length / 2));
    for (ReaderChoice choice : ReaderChoice.values()) {
      MalformedMediaException e =
          assertThrows(MalformedMediaException.class, () -> SourceOpener.open(cut, choice));
      for (String part :
          List.of("was never finished by the camera", "back into the camera", "same camera")) {
        assertTrue(e.sentence().contains(part), e.sentence());
      }
    }
  }

  /** The libraries give the number of "not permitted" for a COMM chunk full of ones. */
  @Test
  void nonsenseIsNotCalledAMissingPermission() throws IOException {
    Path file =
        MediaSamples.write(
            dir.resolve("a.aiff"),
            MediaSamples.settings("aiff", "pcm_mulaw", 48_000, 1),
            new float[1][5000]);
    byte[] bytes = Files.readAllBytes(file);
    Arrays.fill(bytes, indexOf(bytes, "COMM") + 10, indexOf(bytes, "COMM") + 14, (byte) 0xFF);
    Arrays.fill(bytes, indexOf(bytes, "SSND") + 4, indexOf(bytes, "SSND") + 8, (byte) 0xFF);
    Path damaged = Files.write(dir.resolve("b.aiff"), bytes);
    try (SourceReader reader = SourceOpener.open(damaged)) {
      assertEquals(1, reader.facts().channelCount());
    } catch (MediaAccessException e) {
      throw new AssertionError(e);
    } catch (MalformedMediaException e) {
      assertTrue(e.sentence().contains("AIFF"), e.sentence());
    }
  }

  private static int indexOf(byte[] bytes, String text) {
    return new String(bytes, StandardCharsets.ISO_8859_1).indexOf(text);
  }
}
