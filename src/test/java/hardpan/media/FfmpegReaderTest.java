package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.media.FfmpegClipWriter.Settings;
import hardpan.media.SourceFacts.Kind;
import hardpan.media.SourceFacts.SampleForm;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FfmpegReaderTest {
  private static final OffsetDateTime STARTED = OffsetDateTime.parse("2026-06-13T18:04:05+02:00");

  @ParameterizedTest
  @CsvSource({
    "mov, pcm_s16le, 16, 48000",
    "mov, pcm_s16be, 16, 44100",
    "mov, pcm_s24le, 24, 48000",
    "mov, pcm_s24be, 24, 96000",
    "mov, pcm_s32le, 32, 48000",
    "mp4, pcm_s16le, 16, 48000",
    "mp4, pcm_s24be, 24, 48000",
    "avi, pcm_s16le, 16, 48000",
    "matroska, pcm_s24le, 24, 48000",
    "mov, alac, 24, 48000",
    "flac, flac, 16, 48000",
  })
  void uncompressedAndLosslessSoundComesBackBitForBit(
      String container, String codec, int bits, int rateHz, @TempDir Path dir) throws Exception {
    int frames = 30_001;
    float[][] written = MediaSamples.onGrid(3, Math.min(bits, 24), 2, frames);
    boolean picture = !container.equals("flac");
    Settings settings = new Settings(container, codec, rateHz, 2, null, picture, STARTED);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written);
    String before = MediaSamples.hash(file);
    try (SourceReader reader = FfmpegReader.open(file)) {
      SourceFacts facts = reader.facts();
      assertEquals(codec, facts.codec());
      assertEquals(rateHz, facts.rateHz());
      assertEquals(2, facts.channelCount());
      assertEquals(SampleForm.INTEGER, facts.sampleForm());
      assertEquals(bits, facts.bitsPerSample());
      float[][] floats = MediaSamples.readAll(reader);
      assertArrayEquals(written[0], floats[0]);
      assertArrayEquals(written[1], floats[1]);
      int[][] integers = MediaSamples.readAllIntegers(reader, frames);
      for (int i = 0; i < frames; i++) {
        assertEquals((int) (written[1][i] * 0x1p31), integers[1][i]);
      }
    }
    assertEquals(before, MediaSamples.hash(file));
  }

  @Test
  void floatSoundKeepsValuesBeyondFullScale(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.onGrid(4, 24, 3, 20_000);
    written[1][700] = 3.75f;
    written[2][701] = -1.0e-30f;
    for (String container : List.of("mov", "mp4")) {
      Path file =
          MediaSamples.write(
              dir.resolve(container),
              MediaSamples.settings(container, "pcm_f32le", 48_000, 3),
              written);
      try (SourceReader reader = FfmpegReader.open(file)) {
        assertEquals(SampleForm.FLOAT, reader.facts().sampleForm());
        assertEquals(32, reader.facts().bitsPerSample());
        float[][] read = MediaSamples.readAll(reader);
        for (int c = 0; c < 3; c++) {
          assertArrayEquals(written[c], read[c]);
        }
        assertThrows(
            UnsupportedOperationException.class,
            () -> reader.readIntegersAt(0, new int[3][10], 10));
      }
    }
  }

  /**
   * Where encoded sound lands. MP4 and MOV declare the encoder's delay in an edit list (ISO/IEC
   * 14496-12, section 8.6.6), Matroska as a codec delay (RFC 9559, section 5.1.4.1.25). A transport
   * stream declares nothing: the constants are the delays of the libraries' own encoders, measured
   * here, and documented at {@link FfmpegReader}.
   */
  @ParameterizedTest
  @CsvSource({
    "mp4, aac, 48000, 0, true",
    "mp4, aac, 44100, 0, true",
    "mov, aac, 48000, 0, true",
    "mov, aac, 32000, 0, false",
    "matroska, aac, 48000, 0, true",
    "mp4, ac3, 48000, 0, true",
    "mpegts, ac3, 48000, 256, true",
    "mpegts, ac3, 48000, 256, false",
    "mpegts, aac, 48000, 1024, true",
    "mpegts, mp2, 48000, 481, true",
    "mp3, libmp3lame, 44100, 0, false",
  })
  void encodedSoundLandsAtTheDocumentedFrame(
      String container, String codec, int rateHz, int lag, boolean picture, @TempDir Path dir)
      throws Exception {
    int frames = rateHz * 3;
    float[][] written = MediaSamples.speechLike(5, rateHz, 2, frames);
    Settings settings = new Settings(container, codec, rateHz, 2, 192_000, picture, null);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written);
    float[][] read = MediaSamples.readAll(file);
    for (int c = 0; c < 2; c++) {
      assertEquals(lag, MediaSamples.lag(written[c], read[c], rateHz, rateHz, 2500));
    }
    if (codec.equals("ac3") && container.equals("mp4")) {
      // 94 packets of 1536 less the delay: this encoder does not say how much of the last counts.
      assertEquals(94 * 1536 - 256, read[0].length);
    } else if (lag == 0 && !container.equals("matroska")) {
      assertEquals(frames, read[0].length);
    } else {
      assertTrue(read[0].length >= frames && read[0].length <= frames + 2 * 1536 + lag);
    }
  }

  @ParameterizedTest
  @CsvSource({
    "mov, pcm_s24le, 1",
    "mp4, pcm_s16le, 1",
    "mov, pcm_s16le, 2",
    "mp4, aac, 1",
    "mpegts, ac3, 1",
    "mov, aac, 2"
  })
  void anyPositionGivesWhatTheWholePassGives(
      String container, String codec, int tracks, @TempDir Path dir) throws Exception {
    long seed = 77;
    float[][] written = MediaSamples.speechLike(6, 48_000, 2, 150_000);
    Settings settings = new Settings(container, codec, 48_000, 2, null, true, null);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written, tracks, Map.of());
    float[][] all = MediaSamples.readAll(file);
    Random random = new Random(seed);
    try (SourceReader reader = FfmpegReader.open(file)) {
      for (int i = 0; i < 60; i++) {
        int start = random.nextInt(all[0].length + 3000);
        int count = 1 + random.nextInt(9000);
        float[][] block = new float[2][count];
        int got = reader.readAt(start, block, count);
        int wanted = Math.max(0, Math.min(count, all[0].length - start));
        assertEquals(wanted, got, "seed " + seed + ", read " + i);
        for (int c = 0; c < 2; c++) {
          int from = Math.min(start, all[c].length);
          assertArrayEquals(
              Arrays.copyOfRange(all[c], from, from + wanted),
              Arrays.copyOf(block[c], got),
              "seed " + seed + ", read " + i + " at " + start);
        }
      }
    }
  }

  @Test
  void severalSoundTracksAreOneSourceInTheirOrder(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.onGrid(8, 16, 4, 48_000);
    Settings settings = new Settings("mov", "pcm_s16le", 48_000, 4, null, true, null);
    Path file = MediaSamples.write(dir.resolve("a.mov"), settings, written, 4, Map.of());
    try (SourceReader reader = FfmpegReader.open(file)) {
      assertEquals(4, reader.facts().channelCount());
      assertEquals(List.of("", "", "", ""), reader.facts().channelNames());
      float[][] read = MediaSamples.readAll(reader);
      for (int c = 0; c < 4; c++) {
        assertArrayEquals(written[c], read[c]);
      }
    }
  }

  @Test
  void factsAreThoseOfTheFile(@TempDir Path dir) throws Exception {
    float[][] sound = MediaSamples.speechLike(9, 48_000, 2, 48_000);
    OffsetDateTime utc = OffsetDateTime.parse("2026-06-13T16:04:05Z");
    Path mov =
        MediaSamples.write(
            dir.resolve("a.MOV"),
            new Settings("mov", "pcm_s16le", 48_000, 2, null, true, STARTED),
            sound);
    facts(mov, Kind.CLIP, "mov", 48_000L, utc);
    Path mp4 =
        MediaSamples.write(
            dir.resolve("a.mp4"),
            new Settings("mp4", "aac", 48_000, 2, null, false, STARTED),
            sound);
    assertNull(facts(mp4, Kind.CLIP, "mp4", 48_000L, utc).bitsPerSample());
    Path m4a =
        MediaSamples.write(
            dir.resolve("a.m4a"),
            new Settings("mp4", "aac", 48_000, 2, null, false, STARTED),
            sound);
    facts(m4a, Kind.RECORDING, "mp4", 48_000L, utc);
    Path mts =
        MediaSamples.write(
            dir.resolve("a.mts"),
            new Settings("mpegts", "ac3", 48_000, 2, null, true, STARTED),
            sound);
    facts(mts, Kind.CLIP, "mts", null, null);
    Path flac =
        MediaSamples.write(
            dir.resolve("a.flac"),
            new Settings("flac", "flac", 48_000, 2, null, false, null),
            sound);
    facts(flac, Kind.RECORDING, "flac", 48_000L, null);
  }

  private static SourceFacts facts(
      Path file,
      Kind kind,
      String container,
      @Nullable Long frames,
      @Nullable OffsetDateTime startedAt)
      throws Exception {
    try (SourceReader reader = SourceOpener.open(file)) {
      SourceFacts facts = reader.facts();
      assertEquals(kind, facts.kind());
      assertEquals(container, facts.container());
      assertEquals(frames, facts.frameCount());
      assertEquals(startedAt == null ? null : startedAt.toLocalDateTime(), facts.startedAt());
      assertNull(facts.timeReferenceSamples());
      return facts;
    }
  }

  @Test
  void aHoleInATransportStreamBecomesSilenceOfTheSameLength(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(10, 48_000, 1, 480_000);
    Settings settings = MediaSamples.settings("mpegts", "ac3", 48_000, 1);
    Path whole = MediaSamples.write(dir.resolve("whole.mts"), settings, written);
    byte[] bytes = Files.readAllBytes(whole);
    int packets = bytes.length / 188;
    int from = packets * 2 / 5 * 188;
    int to = packets * 3 / 5 * 188;
    byte[] holed = Arrays.copyOf(bytes, bytes.length - (to - from));
    System.arraycopy(bytes, to, holed, from, bytes.length - to);
    Path file = Files.write(dir.resolve("holed.mts"), holed);
    float[][] all = MediaSamples.readAll(whole);
    try (SourceReader reader = FfmpegReader.open(file)) {
      float[][] read = MediaSamples.readAll(reader);
      assertEquals(all[0].length, read[0].length);
      assertEquals(0, MediaSamples.lag(all[0], read[0], 400_000, 48_000, 1000));
      assertTrue(reader.concealedFrames() > 480_000 / 6, "concealed " + reader.concealedFrames());
      assertTrue(reader.concealedFrames() < 480_000 / 4, "concealed " + reader.concealedFrames());
    }
  }

  @Test
  void damagedPacketsDoNotMoveWhatFollows(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(11, 48_000, 2, 480_000);
    Settings settings = MediaSamples.settings("mp4", "aac", 48_000, 2);
    Path whole = MediaSamples.write(dir.resolve("whole.mp4"), settings, written);
    byte[] bytes = Files.readAllBytes(whole);
    Arrays.fill(bytes, bytes.length * 2 / 5, bytes.length / 2, (byte) 0xFF);
    Path file = Files.write(dir.resolve("damaged.mp4"), bytes);
    try (SourceReader reader = FfmpegReader.open(file)) {
      float[][] read = MediaSamples.readAll(reader);
      assertEquals(480_000, read[0].length);
      assertTrue(reader.concealedFrames() > 0);
      assertEquals(0, MediaSamples.lag(written[0], read[0], 380_000, 48_000, 1000));
    }
  }

  @Test
  void namesWithColonsPercentSignsAndAccentsOpen(@TempDir Path dir) throws Exception {
    float[][] sound = MediaSamples.onGrid(12, 16, 1, 5000);
    for (String name : List.of("file:10:30 %d.mov", "concat:a|b.mov", "pipe:0", "-x %03d.mov")) {
      Path file =
          MediaSamples.write(
              dir.resolve(name), MediaSamples.settings("mov", "pcm_s16le", 48_000, 1), sound);
      assertArrayEquals(sound[0], MediaSamples.readAll(file)[0]);
    }
  }

  @Test
  void readersWorkSideBySide(@TempDir Path dir) throws Exception {
    List<Path> files = new ArrayList<>();
    List<float[][]> expected = new ArrayList<>();
    String[][] forms = {{"mp4", "aac"}, {"mpegts", "ac3"}, {"mov", "pcm_s24le"}, {"mp4", "aac"}};
    for (String[] form : forms) {
      float[][] sound = MediaSamples.speechLike(files.size(), 48_000, 2, 200_000);
      Path file = dir.resolve("f" + files.size());
      files.add(
          MediaSamples.write(
              file, new Settings(form[0], form[1], 48_000, 2, null, true, null), sound));
      expected.add(MediaSamples.readAll(file));
    }
    ExecutorService threads =
        Executors.newFixedThreadPool(4, task -> new Thread(task, "side-by-side"));
    try {
      List<Future<float[][]>> results = new ArrayList<>();
      for (int round = 0; round < 4; round++) {
        for (Path file : files) {
          results.add(threads.submit(() -> MediaSamples.readAll(file)));
        }
      }
      for (int i = 0; i < results.size(); i++) {
        float[][] read = results.get(i).get();
        for (int c = 0; c < 2; c++) {
          assertArrayEquals(expected.get(i % files.size())[c], read[c]);
        }
      }
    } finally {
      threads.shutdownNow();
    }
  }
}
