package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.wave.WaveFormat.Coding;
import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What is written comes back, by our reader and by the JDK's. */
class WaveRoundTripTest {
  private static final long SEED = 20260514;

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path folder;

  static Stream<WaveFormat> integerFormats() {
    return Stream.of(8, 16, 24, 32)
        .flatMap(
            bits -> Stream.of(1, 2, 3, 8).map(count -> WaveFormat.integer(bits, 48_000, count)));
  }

  static int[][] randomIntegers(WaveFormat format, int frames) {
    SplittableRandom random = new SplittableRandom(SEED);
    int[][] planar = new int[format.channelCount()][frames];
    for (int[] channel : planar) {
      for (int i = 0; i < frames; i++) {
        channel[i] = random.nextInt() >> (32 - format.validBits()) << (32 - format.validBits());
      }
      channel[0] = Integer.MIN_VALUE;
      channel[1] = Integer.MAX_VALUE >> (32 - format.validBits()) << (32 - format.validBits());
    }
    return planar;
  }

  private Path write(WaveFormat format, int[][] planar) throws IOException {
    Path file = folder.resolve("round.wav");
    Files.deleteIfExists(file);
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, WaveMetadata.NONE)) {
      writer.writeIntegers(planar, planar[0].length);
      writer.finish();
    }
    return file;
  }

  /** More frames than the buffers hold, read in pieces that do not divide them. */
  @ParameterizedTest
  @MethodSource("integerFormats")
  void wholeNumbersComeBackBitByBit(WaveFormat format) throws IOException {
    int frames = 100_003;
    int[][] planar = randomIntegers(format, frames);
    try (WaveFileReader reader = WaveFileReader.open(write(format, planar))) {
      assertEquals(format, reader.header().format());
      assertEquals(frames, reader.header().frameCount());
      assertEquals(List.of(), reader.header().oddities());
      int[][] back = new int[format.channelCount()][frames];
      assertEquals(frames, reader.readIntegersAt(0, back, frames));
      assertArrayEquals(planar, back);
      float[][] floats = new float[format.channelCount()][977];
      for (long at = 0; at < frames; at += 977) {
        int count = reader.readAt(at, floats, 977);
        assertEquals((int) Math.min(977, frames - at), count);
        for (int channel = 0; channel < format.channelCount(); channel++) {
          for (int i = 0; i < count; i++) {
            double expected = planar[channel][(int) at + i] / 2147483648.0;
            assertEquals((float) expected, floats[channel][i], 0);
          }
        }
      }
    }
  }

  /** EBU Tech 3285, A2.2: 12 and 20 bits sit in the most significant bits. */
  @Test
  void validBitsBelowTheContainerAreKept() throws IOException {
    for (int[] bits : new int[][] {{16, 12}, {24, 20}, {32, 24}}) {
      WaveFormat format = new WaveFormat(Coding.INTEGER, 96_000, 2, bits[0], bits[1], 0x3);
      int[][] planar = randomIntegers(format, 1000);
      try (WaveFileReader reader = WaveFileReader.open(write(format, planar))) {
        assertEquals(format, reader.header().format());
        int[][] back = new int[2][1000];
        reader.readIntegersAt(0, back, 1000);
        assertArrayEquals(planar, back);
      }
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {32, 64})
  void floatsComeBackAsTheyAre(int bits) throws IOException {
    WaveFormat format = new WaveFormat(Coding.FLOAT, 44_100, 2, bits, bits, 0);
    float[][] planar = {
      {0, -0.0f, 1, -1, 1.5f, Float.MIN_VALUE, Float.NaN},
      {3e38f, Float.NEGATIVE_INFINITY, 0.1f, 0.2f, 0.3f, 0.4f, 0.5f}
    };
    Path file = folder.resolve("float.wav");
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, WaveMetadata.NONE)) {
      writer.writeFloats(planar, 7);
      writer.finish();
      assertEquals(0, writer.clampedSamples());
    }
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      assertEquals(List.of(), reader.header().oddities());
      float[][] back = new float[2][7];
      assertEquals(7, reader.readAt(0, back, 7));
      assertArrayEquals(planar[0], back[0]);
      assertArrayEquals(planar[1], back[1]);
      assertThrows(
          UnsupportedOperationException.class, () -> reader.readIntegersAt(0, new int[2][7], 7));
    }
  }

  @Test
  void floatsAreRoundedAndClampedForWholeNumbers() throws IOException {
    Path file = folder.resolve("clamped.wav");
    float step = 1 / 32768f;
    float[][] planar = {
      {0.4f * step, 0.6f * step, -0.6f * step, 1f, -1f, -1.01f, 2f, Float.NaN, 1 - step}
    };
    try (WaveFileWriter writer =
        WaveFileWriter.create(file, WaveFormat.integer(16, 48_000, 1), WaveMetadata.NONE)) {
      writer.writeFloats(planar, 9);
      writer.finish();
      assertEquals(3, writer.clampedSamples());
      assertEquals(9, writer.framesWritten());
    }
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      int[][] back = new int[1][9];
      reader.readIntegersAt(0, back, 9);
      int[] expected = {0, 1, -1, 32767, -32768, -32768, 32767, 0, 32767};
      assertArrayEquals(expected, Arrays.stream(back[0]).map(value -> value >> 16).toArray());
    }
  }

  /** Outside check: the JDK's own reader (javax.sound.sampled) sees the same samples. */
  @ParameterizedTest
  @ValueSource(ints = {16, 24})
  void theJdkReadsTheSame(int bits) throws Exception {
    WaveFormat format = WaveFormat.integer(bits, 48_000, 2);
    int[][] planar = randomIntegers(format, 5000);
    try (AudioInputStream stream =
        AudioSystem.getAudioInputStream(write(format, planar).toFile())) {
      AudioFormat audio = stream.getFormat();
      assertEquals(AudioFormat.Encoding.PCM_SIGNED, audio.getEncoding());
      assertEquals(48_000, audio.getSampleRate());
      assertEquals(2, audio.getChannels());
      assertEquals(bits, audio.getSampleSizeInBits());
      assertEquals(5000, stream.getFrameLength());
      byte[] bytes = stream.readAllBytes();
      int width = bits / 8;
      for (int i = 0; i < 5000; i++) {
        for (int channel = 0; channel < 2; channel++) {
          int value = 0;
          for (int b = 0; b < width; b++) {
            value |= (bytes[(2 * i + channel) * width + b] & 0xFF) << (32 - bits + 8 * b);
          }
          assertEquals(planar[channel][i], value);
        }
      }
    }
  }

  /** The JDK reads our file with every chunk in it, too. */
  @Test
  void theJdkFindsTheSoundAmongAllChunks() throws Exception {
    Path file = folder.resolve("all.wav");
    Files.write(file, WaveBytes.complete(folder));
    try (AudioInputStream stream = AudioSystem.getAudioInputStream(file.toFile())) {
      assertEquals(7, stream.getFrameLength());
      assertArrayEquals(
          new byte[] {0, 0, 0, 1, 0, 0, -1, -1, -1, 0x56, 0x34, 0x12}, stream.readNBytes(12));
    }
  }

  @Test
  void readingPastTheEndGivesWhatIsThere() throws IOException {
    WaveFormat format = WaveFormat.integer(16, 48_000, 1);
    try (WaveFileReader reader = WaveFileReader.open(write(format, new int[1][10]))) {
      float[][] block = new float[1][8];
      assertEquals(8, reader.readAt(0, block, 8));
      assertEquals(2, reader.readAt(8, block, 8));
      assertEquals(0, reader.readAt(10, block, 8));
      assertEquals(0, reader.readAt(Long.MAX_VALUE, block, 8));
      assertThrows(IllegalArgumentException.class, () -> reader.readAt(-1, block, 8));
      assertThrows(IllegalArgumentException.class, () -> reader.readAt(0, block, 0));
      assertThrows(IllegalArgumentException.class, () -> reader.readAt(0, new float[0][], 8));
    }
  }

  @Test
  void anExistingFileIsNeverOverwritten() throws IOException {
    Path file = Files.writeString(folder.resolve("there.wav"), "mine");
    assertThrows(
        FileAlreadyExistsException.class,
        () -> WaveFileWriter.create(file, WaveFormat.integer(16, 48_000, 1), WaveMetadata.NONE));
    assertEquals("mine", Files.readString(file));
  }

  @Test
  void aFinishedFileTakesNoMore() throws IOException {
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            folder.resolve("done.wav"), WaveFormat.float32(48_000, 1), WaveMetadata.NONE)) {
      assertThrows(IllegalStateException.class, () -> writer.writeIntegers(new int[1][1], 1));
      writer.finish();
      assertThrows(IllegalStateException.class, () -> writer.writeFloats(new float[1][1], 1));
      assertThrows(IllegalStateException.class, writer::finish);
    }
  }

  @Test
  void formatsThatCannotBeAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> WaveFormat.integer(12, 48_000, 1));
    assertThrows(IllegalArgumentException.class, () -> WaveFormat.integer(24, 0, 1));
    assertThrows(IllegalArgumentException.class, () -> WaveFormat.integer(24, 48_000, 0));
    assertThrows(IllegalArgumentException.class, () -> WaveFormat.integer(24, 48_000, 1025));
    // EBU Tech 3306, section 3: one position a channel.
    assertThrows(
        IllegalArgumentException.class,
        () -> new WaveFormat(Coding.INTEGER, 48_000, 1, 24, 24, 0x3));
    assertThrows(
        IllegalArgumentException.class, () -> new WaveFormat(Coding.FLOAT, 48_000, 1, 32, 24, 0));
    assertTrue(WaveFormat.integer(32, 10_000_000, 1024).bytesPerSecond() > Integer.MAX_VALUE);
  }
}
