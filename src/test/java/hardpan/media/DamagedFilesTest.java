package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import hardpan.media.FfmpegClipWriter.Settings;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

@Timeout(120)
class DamagedFilesTest {
  @ParameterizedTest
  @CsvSource({
    "mov, pcm_s16le, ''",
    "mov, pcm_s16le, faststart",
    "mp4, aac, ''",
    "mp4, aac, faststart",
    "mp4, aac, frag_keyframe+empty_moov",
    "mpegts, ac3, ''",
    "wav, pcm_s24le, ''",
    "flac, flac, ''",
    "mp3, libmp3lame, ''"
  })
  void aFileCutAnywhereGivesATypedErrorOrAShorterRead(
      String container, String codec, String movflags, @TempDir Path dir) throws Exception {
    long seed = 21;
    boolean picture = container.startsWith("m") && !container.equals("mp3");
    float[][] sound = MediaSamples.speechLike(seed, 48_000, 2, 60_000);
    Settings settings = new Settings(container, codec, 48_000, 2, null, picture, null);
    Path whole = dir.resolve("whole");
    MediaSamples.write(
        whole, settings, sound, 1, movflags.isEmpty() ? Map.of() : Map.of("movflags", movflags));
    byte[] bytes = Files.readAllBytes(whole);
    int frames = MediaSamples.readAll(whole)[0].length;
    Random random = new Random(seed);
    for (int i = 0; i < 40; i++) {
      int length = i < 20 ? i * bytes.length / 20 : random.nextInt(bytes.length);
      Path cut = Files.write(dir.resolve("cut"), Arrays.copyOf(bytes, length));
      for (ReaderChoice choice : ReaderChoice.values()) {
        try (SourceReader reader = SourceOpener.open(cut, choice)) {
          int read = MediaSamples.readAll(reader)[0].length;
          assertTrue(read <= frames + 4096, "cut at " + length + " read " + read);
        } catch (MediaException e) {
          assertSentence(e);
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource({"mov, pcm_s24le", "mp4, aac", "mpegts, ac3", "mov, alac"})
  void flippedBytesGiveATypedErrorOrARead(String container, String codec, @TempDir Path dir)
      throws Exception {
    long seed = 22;
    float[][] sound = MediaSamples.speechLike(seed, 48_000, 2, 30_000);
    Settings settings = new Settings(container, codec, 48_000, 2, null, true, null);
    byte[] bytes = Files.readAllBytes(MediaSamples.write(dir.resolve("whole"), settings, sound));
    Random random = new Random(seed);
    for (int i = 0; i < 40; i++) {
      byte[] damaged = bytes.clone();
      // Half of the damage goes into the last part, where MOV and MP4 have their index.
      int from = i % 2 == 0 ? 0 : Math.max(0, bytes.length - 3000);
      for (int n = 0; n < 8; n++) {
        damaged[from + random.nextInt(bytes.length - from)] = (byte) random.nextInt();
      }
      Path file = Files.write(dir.resolve("damaged"), damaged);
      for (ReaderChoice choice : ReaderChoice.values()) {
        try (SourceReader reader = SourceOpener.open(file, choice)) {
          readSome(reader);
        } catch (MediaException e) {
          assertSentence(e);
        }
      }
    }
  }

  /** A damaged time stamp may ask for an hour of silence; a minute is enough here. */
  private static void readSome(SourceReader reader) throws MediaException {
    float[][] block = new float[reader.facts().channelCount()][48_000];
    for (int i = 0; i < 60; i++) {
      if (reader.readAt(i * 48_000L, block, 48_000) < 48_000) {
        return;
      }
    }
  }

  @ParameterizedTest
  @EnumSource(ReaderChoice.class)
  void whatIsNoMediaFileIsSaidInOneSentence(ReaderChoice choice, @TempDir Path dir)
      throws Exception {
    for (String name : new String[] {"a.mp4", "a.mov", "a.wav", "a.mts", "a.mp3", "a.xyz"}) {
      Path text = Files.writeString(dir.resolve(name), "Just a few lines of text.\n".repeat(200));
      MediaException e = assertThrows(MediaException.class, () -> SourceOpener.open(text, choice));
      assertSentence(e);
      assertFalse(e instanceof MediaAccessException);
      Path empty = Files.createFile(dir.resolve("empty-" + name));
      assertSentence(
          assertThrows(MalformedMediaException.class, () -> SourceOpener.open(empty, choice)));
    }
    assertSentence(assertThrows(MediaAccessException.class, () -> SourceOpener.open(dir, choice)));
    assertSentence(
        assertThrows(
            MediaAccessException.class, () -> SourceOpener.open(dir.resolve("no.mov"), choice)));
  }

  @ParameterizedTest
  @EnumSource(ReaderChoice.class)
  void anUnfinishedFileIsToldFromADamagedOne(ReaderChoice choice, @TempDir Path dir)
      throws Exception {
    float[][] sound = MediaSamples.speechLike(23, 48_000, 2, 60_000);
    Path whole =
        MediaSamples.write(
            dir.resolve("whole.mov"), MediaSamples.settings("mov", "pcm_s16le", 48_000, 2), sound);
    byte[] bytes = Files.readAllBytes(whole);
    Path cut = Files.write(dir.resolve("cut.mov"), Arrays.copyOf(bytes, 200_000));
    MalformedMediaException e =
        assertThrows(MalformedMediaException.class, () -> SourceOpener.open(cut, choice));
    assertTrue(e.sentence().contains("never finished by the camera"), e.sentence());
  }

  @Test
  void aFileWithoutSoundSaysSo(@TempDir Path dir) throws Exception {
    // The sound track's handler type is overwritten, so that none is left.
    Path file =
        MediaSamples.write(
            dir.resolve("a.mov"),
            new Settings("mov", "pcm_s16le", 48_000, 1, null, true, null),
            new float[1][48_000]);
    byte[] bytes = Files.readAllBytes(file);
    String text = new String(bytes, StandardCharsets.ISO_8859_1);
    int handler = text.indexOf("mhlrsoun");
    assertTrue(handler > 0);
    System.arraycopy("mhlrvide".getBytes(StandardCharsets.ISO_8859_1), 0, bytes, handler, 8);
    Path silent = Files.write(dir.resolve("silent.mov"), bytes);
    for (ReaderChoice choice : ReaderChoice.values()) {
      UnsupportedMediaException e =
          assertThrows(UnsupportedMediaException.class, () -> SourceOpener.open(silent, choice));
      assertEquals("silent.mov has no sound.", e.sentence());
    }
  }

  static void assertSentence(MediaException e) {
    String sentence = e.sentence();
    assertTrue(sentence.length() > 15 && sentence.endsWith("."), sentence);
  }
}
