package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** AIFF, Core Audio and Wave64 through our own reader; the FFmpeg libraries are the reference. */
class PlainSourceReaderTest {
  private static final int FRAMES = 60_000;

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path dir;

  private Path write(String container, String codec) throws IOException {
    int bits = codec.contains("16") ? 16 : codec.contains("24") ? 24 : codec.contains("8") ? 8 : 32;
    float[][] sound = MediaSamples.onGrid(7, Math.min(bits, 24), 3, FRAMES);
    return MediaSamples.write(
        dir.resolve("whole." + container),
        MediaSamples.settings(container, codec, 48_000, 3),
        sound);
  }

  @ParameterizedTest
  @CsvSource({
    "w64, pcm_s16le",
    "w64, pcm_s24le",
    "w64, pcm_f32le",
    "w64, pcm_u8",
    "aiff, pcm_s16be",
    "aiff, pcm_s24be",
    "aiff, pcm_s32be",
    "aiff, pcm_s16le",
    "aiff, pcm_s8",
    "aiff, pcm_f32be",
    "aiff, pcm_f64be",
    "caf, pcm_s16be",
    "caf, pcm_s16le",
    "caf, pcm_s24le",
    "caf, pcm_s32be",
    "caf, pcm_f32le",
    "caf, pcm_f64be",
    "caf, pcm_s8"
  })
  void aWholeFileIsReadAsTheLibrariesReadIt(String container, String codec) throws IOException {
    Path file = write(container, codec);
    try (SourceReader own = SourceOpener.open(file, ReaderChoice.FALLBACK);
        SourceReader best = SourceOpener.open(file);
        SourceReader reference = FfmpegReader.open(file)) {
      assertInstanceOf(PlainSourceReader.class, own);
      assertInstanceOf(FfmpegReader.class, best);
      assertEquals(reference.facts().container(), own.facts().container());
      assertEquals(reference.facts().codec(), own.facts().codec());
      assertEquals(reference.facts().bitsPerSample(), own.facts().bitsPerSample());
      assertEquals(reference.facts().sampleForm(), own.facts().sampleForm());
      assertEquals(reference.facts().kind(), own.facts().kind());
      assertEquals(FRAMES, own.facts().frameCount());
      assertEquals(0, own.oddities().size(), own.oddities().toString());
      float[][] expected = MediaSamples.readAll(reference);
      float[][] read = MediaSamples.readAll(own);
      for (int c = 0; c < 3; c++) {
        assertArrayEquals(expected[c], read[c]);
      }
      if (own.facts().sampleForm() == SourceFacts.SampleForm.INTEGER) {
        int[][] whole = new int[3][1000];
        int[][] same = new int[3][1000];
        own.readIntegersAt(777, whole, 1000);
        reference.readIntegersAt(777, same, 1000);
        assertArrayEquals(same, whole);
      }
    }
  }

  /** The field and the value it has after a power cut; measured: the libraries stop or refuse. */
  @ParameterizedTest
  @CsvSource({
    "w64, pcm_s24le, riff, 16, 8, 0, The file says it has 0 bytes",
    "aiff, pcm_s24be, FORM, 4, 4, 0, The file says it has 8 bytes",
    "w64, pcm_s24le, 'data\u00f3\u00ac', 16, 8, 0, never filled in",
    "w64, pcm_s24le, 'data\u00f3\u00ac', 16, 8, 255, never filled in",
    "w64, pcm_s24le, 'data\u00f3\u00ac', 18, 1, 1, not brought up to date",
    "w64, pcm_s24le, 'data\u00f3\u00ac', 19, 1, 7, the file ends after",
    "aiff, pcm_s24be, SSND, 4, 4, 0, never filled in",
    "aiff, pcm_s24be, SSND, 4, 4, 255, never filled in",
    "aiff, pcm_s24be, SSND, 5, 1, 1, not brought up to date",
    "aiff, pcm_s24be, COMM, 10, 4, 0, frames of sound",
    "caf, pcm_s16le, data, 4, 8, 0, never filled in",
    "caf, pcm_s16le, data, 9, 1, 1, not brought up to date",
    "caf, pcm_s16le, data, 8, 1, 1, the file ends after"
  })
  void unfinishedSizesReadToTheEnd(
      String container, String codec, String id, int at, int count, int value, String says)
      throws IOException {
    byte[] bytes = Files.readAllBytes(write(container, codec));
    int chunk = new String(bytes, StandardCharsets.ISO_8859_1).indexOf(id);
    assertTrue(chunk >= 0);
    Arrays.fill(bytes, chunk + at, chunk + at + count, (byte) value);
    Path damaged = Files.write(dir.resolve("damaged." + container), bytes);
    for (ReaderChoice choice : ReaderChoice.values()) {
      try (SourceReader reader = SourceOpener.open(damaged, choice)) {
        assertEquals(FRAMES, MediaSamples.readAll(reader)[0].length);
        assertTrue(reader.oddities().toString().contains(says), reader.oddities().toString());
      }
    }
  }

  @Test
  void aCoreAudioFileMayLeaveItsLengthOpen() throws IOException {
    byte[] bytes = Files.readAllBytes(write("caf", "pcm_s16le"));
    int chunk = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("data");
    Arrays.fill(bytes, chunk + 4, chunk + 12, (byte) 255);
    try (SourceReader reader = SourceOpener.open(Files.write(dir.resolve("open.caf"), bytes))) {
      assertEquals(FRAMES, MediaSamples.readAll(reader)[0].length);
      assertEquals(0, reader.oddities().size());
    }
  }

  @Test
  void whatIsCompressedOrOfAnotherKindIsLeftToOthers() throws IOException {
    for (String[] kind :
        new String[][] {{"caf", "pcm_mulaw"}, {"aiff", "pcm_alaw"}, {"flac", "flac"}}) {
      Path file = write(kind[0], kind[1]);
      assertNull(PlainSourceReader.openIfPlain(file));
      Files.delete(file);
    }
  }

  @Test
  void withoutSoundItIsMalformed() throws IOException {
    byte[] bytes = Files.readAllBytes(write("aiff", "pcm_s16be"));
    Path cut = Files.write(dir.resolve("cut.aiff"), Arrays.copyOf(bytes, 40));
    Assertions.assertThrows(MalformedMediaException.class, () -> SourceOpener.open(cut));
  }
}
