package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.UnsupportedMediaException;
import hardpan.media.FfmpegClipWriter.Settings;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.media.SourceFacts.SampleForm;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The FFmpeg libraries are the reference for everything here. */
class JcodecReaderTest {
  private static final OffsetDateTime STARTED = OffsetDateTime.parse("2026-06-13T16:04:05Z");

  private static SourceReader fallback(Path file) throws Exception {
    SourceReader reader = SourceOpener.open(file, ReaderChoice.FALLBACK);
    assertInstanceOf(JcodecReader.class, reader);
    return reader;
  }

  @ParameterizedTest
  @CsvSource({
    "mov, pcm_s16le, 48000, 2, 1",
    "mov, pcm_s16be, 44100, 1, 1",
    "mov, pcm_s16le, 96000, 2, 1",
    "mov, pcm_s8, 48000, 2, 1",
    "mov, pcm_u8, 48000, 1, 1",
    "mov, pcm_s24le, 48000, 2, 1",
    "mov, pcm_s24be, 48000, 2, 1",
    "mov, pcm_s24le, 96000, 4, 1",
    "mov, pcm_s32le, 48000, 2, 1",
    "mov, pcm_s32be, 48000, 3, 1",
    "mov, pcm_f32le, 48000, 2, 1",
    "mov, pcm_f32be, 48000, 2, 1",
    "mov, pcm_f64le, 48000, 2, 1",
    "mov, pcm_s24le, 48000, 4, 4",
    "mov, pcm_s16le, 48000, 4, 2",
    "mp4, pcm_s16le, 48000, 2, 1",
    "mp4, pcm_s24be, 48000, 2, 1",
    "mp4, pcm_s32le, 48000, 1, 1",
    "mp4, pcm_f32le, 48000, 2, 1",
    "mp4, pcm_s24le, 96000, 2, 2"
  })
  void uncompressedSoundIsTheSameThroughBothReaders(
      String container, String codec, int rateHz, int channels, int tracks, @TempDir Path dir)
      throws Exception {
    int frames = 30_011;
    float[][] written = MediaSamples.onGrid(41, 24, channels, frames);
    Settings settings = new Settings(container, codec, rateHz, channels, null, true, STARTED);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written, tracks, Map.of());
    String before = MediaSamples.hash(file);
    try (SourceReader ours = fallback(file);
        SourceReader theirs = FfmpegReader.open(file)) {
      SourceFacts a = ours.facts();
      SourceFacts b = theirs.facts();
      assertEquals(ReadBy.FALLBACK, a.readBy());
      assertEquals(
          b,
          new SourceFacts(
              a.kind(),
              a.container(),
              a.codec(),
              a.sampleForm(),
              a.rateHz(),
              a.bitsPerSample(),
              a.channelCount(),
              a.frameCount(),
              a.timeReferenceSamples(),
              a.channelNames(),
              ReadBy.NATIVE,
              b.origin()));
      assertEquals(STARTED.toLocalDateTime(), a.startedAt());
      assertEquals(STARTED.toLocalDateTime(), b.startedAt());
      float[][] x = MediaSamples.readAll(ours);
      float[][] y = MediaSamples.readAll(theirs);
      assertEquals(frames, x[0].length);
      for (int c = 0; c < channels; c++) {
        assertArrayEquals(y[c], x[c]);
      }
      if (a.sampleForm() == SampleForm.INTEGER) {
        int[][] p = MediaSamples.readAllIntegers(ours, frames);
        int[][] q = MediaSamples.readAllIntegers(theirs, frames);
        for (int c = 0; c < channels; c++) {
          assertArrayEquals(q[c], p[c]);
        }
      } else {
        assertThrows(
            UnsupportedOperationException.class,
            () -> ours.readIntegersAt(0, new int[channels][1], 1));
      }
    }
    assertEquals(before, MediaSamples.hash(file));
  }

  /**
   * AAC through the decoder in JCodec against the FFmpeg libraries: same length, same place, and
   * the error relative to the sound. Measured: -31.7, -31.0, -31.3 dB, all of it the random noise
   * of noise bands, in which two right decoders differ; the encoder's own error is -24 to -27 dB.
   * In the last file one packet does not decode: -12.7 dB over these two seconds.
   */
  @ParameterizedTest
  @CsvSource({
    "mp4, 48000, 2, 144000, 192000, 0, -30",
    "mp4, 44100, 2, 100001, 128000, 0, -30",
    "mov, 48000, 1, 99999, 96000, 0, -30",
    "mp4, 32000, 2, 64123, 128000, 1024, -12"
  })
  void aacHasTheSameLengthAndPlaceAsThroughTheLibraries(
      String container,
      int rateHz,
      int channels,
      int frames,
      int bitRate,
      int concealed,
      double maxErrorDb,
      @TempDir Path dir)
      throws Exception {
    float[][] written = MediaSamples.speechLike(42, rateHz, channels, frames);
    Settings settings = new Settings(container, "aac", rateHz, channels, bitRate, true, STARTED);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written);
    try (SourceReader ours = fallback(file);
        SourceReader theirs = FfmpegReader.open(file)) {
      assertEquals("aac", ours.facts().codec());
      assertEquals(theirs.facts().frameCount(), ours.facts().frameCount());
      float[][] x = MediaSamples.readAll(ours);
      float[][] y = MediaSamples.readAll(theirs);
      assertEquals(frames, y[0].length);
      assertEquals(frames, x[0].length);
      double errorDb = relativeErrorDb(y, x);
      assertEquals(concealed, ours.concealedFrames());
      assertTrue(errorDb < maxErrorDb, "error " + errorDb + " dB");
      for (int c = 0; c < channels; c++) {
        assertEquals(0, MediaSamples.lag(y[c], x[c], 20_000, 30_000, 1500));
      }
    }
  }

  /** Fails with the decoder as published: see {@link JcodecAacDecoder}. Measured: -80.0 dB. */
  @Test
  void aToneWithNoiseBandsBesideItPlaysOn(@TempDir Path dir) throws Exception {
    float[][] tone = new float[2][96_000];
    for (int i = 0; i < 96_000; i++) {
      tone[0][i] = (float) (0.125 * Math.sin(2 * Math.PI * 440 * i / 48_000));
      tone[1][i] = tone[0][i];
    }
    Settings settings = new Settings("mp4", "aac", 48_000, 2, 192_000, false, null);
    Path file = MediaSamples.write(dir.resolve("tone.mp4"), settings, tone);
    try (SourceReader reader = fallback(file)) {
      double errorDb = relativeErrorDb(MediaSamples.readAll(file), MediaSamples.readAll(reader));
      assertTrue(errorDb < -70, "error " + errorDb + " dB");
      assertEquals(0, reader.concealedFrames());
    }
  }

  private static double relativeErrorDb(float[][] reference, float[][] other) {
    double error = 0;
    double power = 0;
    for (int c = 0; c < reference.length; c++) {
      for (int i = 0; i < reference[c].length; i++) {
        double difference = (double) reference[c][i] - other[c][i];
        error += difference * difference;
        power += (double) reference[c][i] * reference[c][i];
      }
    }
    return 10 * Math.log10(error / power);
  }

  @ParameterizedTest
  @CsvSource({"mov, pcm_s24be, 1", "mp4, pcm_s16le, 2", "mp4, aac, 1"})
  void anyPositionGivesWhatTheWholePassGives(
      String container, String codec, int tracks, @TempDir Path dir) throws Exception {
    long seed = 43;
    float[][] written = MediaSamples.speechLike(44, 48_000, 2, 100_000);
    Settings settings = new Settings(container, codec, 48_000, 2, null, true, null);
    Path file = MediaSamples.write(dir.resolve("a"), settings, written, tracks, Map.of());
    Random random = new Random(seed);
    try (SourceReader reader = fallback(file)) {
      float[][] all = MediaSamples.readAll(reader);
      for (int i = 0; i < 60; i++) {
        int start = random.nextInt(all[0].length + 3000);
        int count = 1 + random.nextInt(9000);
        float[][] block = new float[2][count];
        int got = reader.readAt(start, block, count);
        int from = Math.min(start, all[0].length);
        int wanted = Math.min(count, all[0].length - from);
        assertEquals(wanted, got, "seed " + seed + ", read " + i);
        for (int c = 0; c < 2; c++) {
          assertArrayEquals(
              Arrays.copyOfRange(all[c], from, from + wanted),
              Arrays.copyOf(block[c], got),
              "seed " + seed + ", read " + i + " at " + start);
        }
      }
    }
  }

  @Test
  void whatOnlyTheLibrariesReadIsSaid(@TempDir Path dir) throws Exception {
    float[][] sound = MediaSamples.speechLike(45, 48_000, 2, 48_000);
    String[][] forms = {{"mov", "alac"}, {"mpegts", "ac3"}, {"flac", "flac"}, {"mp4", "ac3"}};
    for (String[] form : forms) {
      Path file =
          MediaSamples.write(
              dir.resolve("a." + form[1] + form[0]),
              MediaSamples.settings(form[0], form[1], 48_000, 2),
              sound);
      UnsupportedMediaException e =
          assertThrows(
              UnsupportedMediaException.class,
              () -> SourceOpener.open(file, ReaderChoice.FALLBACK));
      assertTrue(e.sentence().endsWith("needs the FFmpeg libraries."), e.sentence());
    }
    Path fragments =
        MediaSamples.write(
            dir.resolve("fragments.mp4"),
            new Settings("mp4", "aac", 48_000, 2, null, true, null),
            sound,
            1,
            Map.of("movflags", "frag_keyframe+empty_moov"));
    assertThrows(
        UnsupportedMediaException.class, () -> SourceOpener.open(fragments, ReaderChoice.FALLBACK));
  }
}
