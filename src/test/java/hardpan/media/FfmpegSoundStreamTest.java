package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Span;
import java.io.ByteArrayOutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Going back, holes, repeats and time stamps that go back. */
class FfmpegSoundStreamTest {
  private static final int FRAMES = 400_000;

  private static float[][] whole(FfmpegSoundStream stream) throws Exception {
    float[][] all = new float[stream.channelCount()][FRAMES + 20_000];
    int got = stream.readFloats(0, all, 0, 0, all[0].length);
    for (int c = 0; c < all.length; c++) {
      all[c] = Arrays.copyOf(all[c], got);
    }
    return all;
  }

  /**
   * With a fresh decoder every 24 packets, any place gives what reading straight through gave, to
   * the bit, and each codec takes the short way.
   */
  @ParameterizedTest
  @CsvSource({
    "mp4, aac, 48000, 0",
    "mov, aac, 44100, 0",
    "mpegts, aac, 48000, 1",
    "mpegts, ac3, 48000, 1",
    "mpegts, ac3, 48000, 0",
    "mpegts, mp2, 48000, 1",
    "mpegts, libmp3lame, 48000, 0",
    "mp4, ac3, 48000, 0",
    "mp4, libmp3lame, 44100, 0",
    "mp3, libmp3lame, 44100, 0",
    "matroska, aac, 48000, 0",
    "matroska, pcm_s16le, 48000, 0",
    "mpegts, s302m-16, 48000, 0",
    "avi, pcm_s16le, 48000, 0",
  })
  void goingBackGivesTheSameBits(
      String container, String codec, int rateHz, int picture, @TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(21, rateHz, 2, FRAMES);
    Path file =
        MediaSamples.write(
            dir.resolve("a"),
            new FfmpegClipWriter.Settings(container, codec, rateHz, 2, null, picture == 1, null),
            written);
    long seed = 5;
    Random random = new Random(seed);
    try (FfmpegSoundStream first = FfmpegSoundStream.open(file, soundIndex(file), null, 24);
        FfmpegSoundStream second = FfmpegSoundStream.open(file, soundIndex(file), null, 24)) {
      float[][] all = whole(first);
      float[][] block = new float[2][5000];
      for (int i = 0; i < 40; i++) {
        FfmpegSoundStream stream = i % 2 == 0 ? first : second;
        int start = random.nextInt(all[0].length - 5000);
        assertEquals(5000, stream.readFloats(start, block, 0, 0, 5000), "seed " + seed);
        for (int c = 0; c < 2; c++) {
          assertArrayEquals(
              Arrays.copyOfRange(all[c], start, start + 5000),
              block[c],
              "seed " + seed + ", read " + i + " at " + start);
        }
      }
      assertTrue(first.shortWays() > 5, "short ways " + first.shortWays());
      assertEquals(0, first.concealedFrames());
    }
  }

  /**
   * Many fresh decoders play as one does: the warm-up is long enough. The sound has no noise, so
   * that AAC has no noise bands; AC-3 has dither, of which only the draw differs (ATSC A/52,
   * section 7.3.4). Measured: -101 and -78 dB.
   */
  @ParameterizedTest
  @CsvSource({
    "mpegts, mp2, 48000, 192000, -999",
    "mp4, libmp3lame, 44100, 32000, -999",
    "mpegts, libmp3lame, 48000, 320000, -999",
    "mp4, aac, 32000, 160000, -999",
    "mpegts, aac, 16000, 96000, -999",
    "mpegts, ac3, 48000, 640000, -90",
    "mpegts, ac3, 48000, 192000, -70",
  })
  void freshDecodersPlayAsOneDecoderDoes(
      String container, String codec, int rateHz, int bitRate, double maxDb, @TempDir Path dir)
      throws Exception {
    float[][] written = tones(rateHz);
    Path file =
        MediaSamples.write(
            dir.resolve("a"),
            new FfmpegClipWriter.Settings(container, codec, rateHz, 2, bitRate, false, null),
            written);
    try (FfmpegSoundStream one = FfmpegSoundStream.open(file, 0, null, Integer.MAX_VALUE);
        FfmpegSoundStream many = FfmpegSoundStream.open(file, 0, null, 20)) {
      float[][] a = whole(one);
      float[][] b = whole(many);
      assertEquals(a[0].length, b[0].length);
      double error = 0;
      double power = 0;
      for (int i = 0; i < a[0].length; i++) {
        error += Math.pow((double) a[0][i] - b[0][i], 2);
        power += Math.pow(a[0][i], 2);
      }
      double db = error == 0 ? -1000 : 10 * Math.log10(error / power);
      assertTrue(db < maxDb, "difference " + db + " dB");
    }
  }

  /** Wandering harmonics without any noise. */
  private static float[][] tones(int rateHz) {
    float[][] planar = new float[2][FRAMES];
    for (int c = 0; c < 2; c++) {
      for (int i = 0; i < FRAMES; i++) {
        double t = (double) i / rateHz;
        double sum = 0;
        for (int h = 1; h < 12; h++) {
          sum +=
              Math.sin(2 * Math.PI * (150 + 40 * c) * h * t + h * h + 3 * Math.sin(2 * t * h)) / h;
        }
        planar[c][i] = (float) (0.1 * sum);
      }
    }
    return planar;
  }

  private static int soundIndex(Path file) throws Exception {
    try (FfmpegInput input = FfmpegInput.open(file)) {
      return input.soundStreams().get(0);
    }
  }

  // ---- transport streams that were cut and put together --------------------------------------

  private static final int PACKET = 188;

  /** A transport stream with AC-3 sound alone, and where its pieces of sound begin. */
  private static byte[] transportStream(Path dir, float[][] written) throws Exception {
    Path file =
        MediaSamples.write(
            dir.resolve("whole.ts"), MediaSamples.settings("mpegts", "ac3", 48_000, 1), written);
    return Files.readAllBytes(file);
  }

  /** The start of the nth piece of sound (payload unit start, ISO/IEC 13818-1, 2.4.3.3). */
  private static int unitStart(byte[] bytes, int nth) {
    int seen = 0;
    for (int at = 0; at < bytes.length; at += PACKET) {
      int pid = ((bytes[at + 1] & 0x1F) << 8) | (bytes[at + 2] & 0xFF);
      if (pid == 0x100 && (bytes[at + 1] & 0x40) != 0 && seen++ == nth) {
        return at;
      }
    }
    throw new AssertionError("only " + seen + " units");
  }

  private static byte[] without(byte[] bytes, int from, int to) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(bytes, 0, from);
    out.write(bytes, to, bytes.length - to);
    return out.toByteArray();
  }

  @Test
  void aHoleIsSilenceOfItsLengthAndSaysWhere(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(23, 48_000, 1, FRAMES);
    byte[] bytes = transportStream(dir, written);
    int from = unitStart(bytes, 10);
    int to = unitStart(bytes, 16);
    Path file = Files.write(dir.resolve("holed.ts"), without(bytes, from, to));
    float[][] all = MediaSamples.readAll(dir.resolve("whole.ts"));
    try (SourceReader reader = FfmpegReader.open(file)) {
      float[][] read = MediaSamples.readAll(reader);
      assertEquals(all[0].length, read[0].length);
      List<Span> spans = reader.missingSpans();
      assertEquals(1, spans.size(), spans.toString());
      Span hole = spans.get(0);
      assertEquals(hole.frames(), reader.concealedFrames());
      assertEquals(0, hole.frames() % 1536, "whole AC-3 packets");
      for (long i = hole.startFrame(); i < hole.endFrame(); i++) {
        assertEquals(0f, read[0][(int) i]);
      }
      assertEquals(0, MediaSamples.lag(all[0], read[0], 300_000, 48_000, 1000));
      // Everything before the hole is untouched.
      int before = (int) hole.startFrame();
      assertArrayEquals(Arrays.copyOf(all[0], before), Arrays.copyOf(read[0], before));
      // A second pass over the same file finds nothing new.
      long concealed = reader.concealedFrames();
      MediaSamples.readAll(reader);
      assertEquals(concealed, reader.concealedFrames());
      assertEquals(List.of(), reader.oddities());
    }
  }

  @Test
  void aRepeatedStretchIsPlayedOnce(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(24, 48_000, 1, FRAMES);
    byte[] bytes = transportStream(dir, written);
    int from = unitStart(bytes, 10);
    int to = unitStart(bytes, 16);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(bytes, 0, to);
    out.write(bytes, from, bytes.length - from);
    Path file = Files.write(dir.resolve("repeated.ts"), out.toByteArray());
    float[][] all = MediaSamples.readAll(dir.resolve("whole.ts"));
    try (SourceReader reader = FfmpegReader.open(file)) {
      float[][] read = MediaSamples.readAll(reader);
      assertEquals(all[0].length, read[0].length);
      assertEquals(0, MediaSamples.lag(all[0], read[0], 300_000, 48_000, 1000));
      assertEquals(0, reader.concealedFrames());
      assertEquals(1, reader.oddities().size(), reader.oddities().toString());
      assertTrue(reader.oddities().get(0).contains("twice"), reader.oddities().toString());
    }
  }

  @Test
  void timeStampsThatGoBackNeitherDoubleNorLoseSound(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(25, 48_000, 1, FRAMES);
    byte[] bytes = transportStream(dir, written);
    float[][] other = MediaSamples.speechLike(26, 48_000, 1, FRAMES / 2);
    Path second =
        MediaSamples.write(
            dir.resolve("second.ts"), MediaSamples.settings("mpegts", "ac3", 48_000, 1), other);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(bytes);
    out.writeBytes(Files.readAllBytes(second));
    Path file = Files.write(dir.resolve("joined.ts"), out.toByteArray());
    float[][] a = MediaSamples.readAll(dir.resolve("whole.ts"));
    float[][] b = MediaSamples.readAll(second);
    try (SourceReader reader = FfmpegReader.open(file)) {
      float[][] read = MediaSamples.readAll(reader);
      assertEquals(a[0].length + b[0].length, read[0].length);
      float[] tail = Arrays.copyOfRange(read[0], a[0].length, read[0].length);
      assertEquals(0, MediaSamples.lag(b[0], tail, 100_000, 48_000, 1000));
      assertEquals(0, reader.concealedFrames());
      assertEquals(1, reader.oddities().size(), reader.oddities().toString());
      assertTrue(reader.oddities().get(0).contains("go back by"), reader.oddities().toString());
    }
  }

  // ---- streams that cannot join, and names -----------------------------------------------------

  @ParameterizedTest
  @CsvSource({"rate, has 44100 Hz where the first has 48000 Hz", "codec, cannot be read"})
  void aStreamThatCannotJoinIsLeftOutAndNamed(String what, String says, @TempDir Path dir)
      throws Exception {
    float[][] written = MediaSamples.onGrid(27, 16, 2, 50_000);
    Path good =
        MediaSamples.write(
            dir.resolve("good.mov"),
            MediaSamples.settings("mov", "pcm_s16le", 48_000, 2),
            written,
            2,
            Map.of());
    byte[] bytes = Files.readAllBytes(good);
    int description = lastIndexOf(bytes, "sowt");
    if (what.equals("rate")) {
      // The rate of the second track, 16.16 fixed point, 24 bytes into the description's content.
      bytes[description + 4 + 24] = (byte) (44_100 >> 8);
      bytes[description + 4 + 25] = (byte) 44_100;
    } else {
      System.arraycopy(new byte[] {'z', 'y', 'x', 'w'}, 0, bytes, description, 4);
    }
    Path file = Files.write(dir.resolve("bad.mov"), bytes);
    for (ReaderChoice choice : List.of(ReaderChoice.NATIVE, ReaderChoice.FALLBACK)) {
      try (SourceReader reader = SourceOpener.open(file, choice)) {
        assertEquals(1, reader.facts().channelCount());
        assertArrayEquals(written[0], MediaSamples.readAll(reader)[0]);
        String sentence = reader.oddities().get(0);
        assertTrue(sentence.startsWith("Sound stream 2 of 2 is left out: "), sentence);
        if (choice == ReaderChoice.NATIVE || what.equals("rate")) {
          assertTrue(sentence.contains(says), sentence);
        }
      }
    }
  }

  private static int lastIndexOf(byte[] bytes, String text) {
    for (int at = bytes.length - 4; at >= 0; at--) {
      int same = 0;
      while (same < 4 && bytes[at + same] == text.charAt(same)) {
        same++;
      }
      if (same == 4) {
        return at;
      }
    }
    throw new AssertionError(text + " not found");
  }

  @Test
  void channelsAreNamedByTheirStreams() {
    ChannelNaming.Stream plain = new ChannelNaming.Stream("", "und", List.of("", ""));
    ChannelNaming.Stream titled = new ChannelNaming.Stream("Pulpit", "", List.of("", ""));
    ChannelNaming.Stream program = new ChannelNaming.Stream("Core Media Audio", "eng", List.of(""));
    ChannelNaming.Stream french = new ChannelNaming.Stream("SoundHandler", "fra", List.of(""));
    assertEquals(List.of("", ""), ChannelNaming.names(List.of(plain)));
    assertEquals(
        List.of("track 1 left", "track 1 right", "Pulpit left", "Pulpit right"),
        ChannelNaming.names(List.of(plain, titled)));
    assertEquals(List.of("", ""), ChannelNaming.names(List.of(program, program)));
    assertEquals(List.of("eng", "fra"), ChannelNaming.names(List.of(program, french)));
    ChannelNaming.Stream surround =
        new ChannelNaming.Stream("", "", List.of("front left", "front right", "LFE"));
    assertEquals(
        List.of("front left", "front right", "LFE"), ChannelNaming.names(List.of(surround)));
  }

  @Test
  void thePictureBeginsWhereItsFirstFrameIsShown(@TempDir Path dir) throws Exception {
    float[][] written = MediaSamples.speechLike(28, 48_000, 1, 100_000);
    String[][] forms = {{"mp4", "aac", "0"}, {"mpegts", "ac3", "256"}, {"mpegts", "aac", "1024"}};
    for (String[] form : forms) {
      Path file =
          MediaSamples.write(
              dir.resolve(form[1] + form[0]),
              new FfmpegClipWriter.Settings(form[0], form[1], 48_000, 1, null, true, null),
              written);
      try (SourceReader reader = FfmpegReader.open(file)) {
        assertEquals(Long.valueOf(form[2]), reader.pictureStartFrame());
      }
    }
  }
}
