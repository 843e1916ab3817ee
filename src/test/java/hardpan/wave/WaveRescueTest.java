package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Takes whose sizes were never finished, or whose beginning is damaged, are read all the same. */
class WaveRescueTest {
  private static final int FRAMES = 20_000;
  private static final byte[] NOISE = noise(2 * FRAMES);

  private static byte[] noise(int length) {
    byte[] bytes = new byte[length];
    new Random(31).nextBytes(bytes);
    return bytes;
  }

  private static WaveBytes mono() {
    return new WaveBytes().format(1, 48_000, 16);
  }

  private static WaveHeader read(byte[] file) throws IOException {
    return WaveBytes.header(file);
  }

  private static void assertSays(WaveHeader header, String part) {
    assertTrue(
        header.oddities().stream().anyMatch(oddity -> oddity.contains(part)),
        header.oddities().toString());
  }

  /** The recorder brought its sizes up to date half way, then lost power. */
  @ParameterizedTest
  @CsvSource({"20000", "1", "30001"})
  void aStaleSizeIsReadPastToTheEnd(long stated) throws IOException {
    WaveHeader header = read(mono().chunk("data", stated, NOISE, 0).file("RIFF", 36 + stated));
    assertEquals(FRAMES, header.frameCount());
    assertSays(header, "not brought up to date: it says " + stated);
  }

  /** The end is missing, in a chunk nobody knows; the size of the whole file vouches for it. */
  @Test
  void aChunkCutShortBehindTheSoundIsNoSound() throws IOException {
    byte[] whole =
        mono()
            .chunk("data", NOISE)
            .chunk("zzQ9", new byte[30_000])
            .file("RIFF", 36 + NOISE.length + 8 + 30_000);
    for (int i = whole.length - 30_000; i < whole.length; i++) {
      whole[i] = (byte) (i * 31 + 7);
    }
    WaveHeader header = read(Arrays.copyOf(whole, whole.length - 12_000));
    assertEquals(FRAMES, header.frameCount());
  }

  @Test
  void aStaleSizeInDs64IsReadPastToTheEnd() throws IOException {
    byte[] ds64 = ByteBuffer.allocate(28).order(ByteOrder.LITTLE_ENDIAN).putLong(8, 9000).array();
    WaveHeader header =
        read(
            new WaveBytes()
                .chunk("ds64", ds64)
                .format(1, 48_000, 16)
                .chunk("data", 0xFFFFFFFFL, NOISE, 0)
                .file("RF64", 0xFFFFFFFFL));
    assertEquals(FRAMES, header.frameCount());
    assertSays(header, "not brought up to date: it says 9000");
  }

  @Test
  void aRightSizeIsBelievedWhateverFollowsTheChunkBehind() throws IOException {
    WaveHeader known =
        read(
            mono()
                .chunk("data", 20_000, Arrays.copyOf(NOISE, 20_000), 0)
                .chunk("bext", 1 << 30, NOISE, 0)
                .riff());
    assertEquals(10_000, known.frameCount());
    WaveHeader reserved =
        read(
            mono()
                .chunk("data", 20_000, Arrays.copyOf(NOISE, 20_000), 0)
                .raw(new byte[100_000])
                .riff());
    assertEquals(10_000, reserved.frameCount());
    assertSays(reserved, "100000 bytes at the end");
    WaveHeader few =
        read(
            mono()
                .chunk("data", 20_000, Arrays.copyOf(NOISE, 20_000), 0)
                .raw(Arrays.copyOf(NOISE, 4096))
                .riff());
    assertEquals(10_000, few.frameCount());
  }

  @ParameterizedTest
  @CsvSource({"0x7FFFFFFF", "0x80000000", "0xFFFFFFDB", "0x7FFFFFD9"})
  void aPlaceholderIsNoLength(String stated) throws IOException {
    WaveHeader header =
        read(mono().chunk("data", Long.decode(stated), NOISE, 0).file("RIFF", 0xFFFFFFFFL));
    assertEquals(FRAMES, header.frameCount());
    assertSays(header, "never filled in");
  }

  @Test
  void aSizeOfZeroInAnRf64FileSendsToDs64() throws IOException {
    byte[] ds64 =
        ByteBuffer.allocate(28).order(ByteOrder.LITTLE_ENDIAN).putLong(8, 2 * FRAMES).array();
    WaveHeader header =
        read(
            new WaveBytes()
                .chunk("ds64", ds64)
                .format(1, 48_000, 16)
                .chunk("data", 0, NOISE, 0)
                .file("RF64", 0xFFFFFFFFL));
    assertEquals(FRAMES, header.frameCount());
  }

  /** Sizes are counted modulo 2^32 by recorders that know no RF64 (a sparse file stands in). */
  @ParameterizedTest
  @CsvSource({"4294968000, true", "8589936000, true", "4294968000, false", "4294967336, false"})
  void plainFilesPastFourGigabytesAreRead(long bytes, boolean finished, @TempDir Path folder)
      throws IOException {
    Path file = folder.resolve("long.wav");
    byte[] head = mono().chunk("data", bytes & 0xFFFFFFFFL, new byte[0], 0).file("RIFF", 0);
    try (FileChannel out =
        FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      out.write(ByteBuffer.wrap(head), 0);
      // Sound right behind the wrapped size, so that it cannot be taken for reserved space.
      out.write(ByteBuffer.wrap(NOISE), head.length);
      out.write(ByteBuffer.wrap(new byte[] {1, 2}), head.length + bytes - 2);
      if (finished) {
        byte[] tail =
            new WaveBytes().chunk("LIST", "INFO".getBytes(StandardCharsets.US_ASCII)).riff();
        out.write(ByteBuffer.wrap(tail, 12, tail.length - 12), head.length + bytes);
      }
    }
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      assertEquals(bytes / 2, reader.header().frameCount());
      assertTrue(reader.header().oddities().toString().contains("the sound"));
      int[][] last = new int[1][1];
      assertEquals(1, reader.readIntegersAt(bytes / 2 - 1, last, 1));
      assertEquals(0x0201 << 16, last[0][0]);
    }
  }

  @Test
  void aBrokenChunkBeforeTheSoundDoesNotHideIt() throws IOException {
    byte[] whole = mono().chunk("JUNK", new byte[100]).chunk("data", NOISE).riff();
    byte[] swallowing = whole.clone();
    swallowing[12 + 24 + 7] = 0x70;
    WaveHeader header = read(swallowing);
    assertEquals(FRAMES, header.frameCount());
    assertSays(header, "found by searching");
    byte[] noChunk = whole.clone();
    Arrays.fill(noChunk, 36, 44, (byte) 0xFF);
    assertEquals(FRAMES, read(noChunk).frameCount());
    byte[] formatLost =
        new WaveBytes()
            .chunk("JUNK", 5000, new byte[10], 0)
            .format(1, 44_100, 16)
            .chunk("data", NOISE)
            .riff();
    assertEquals(44_100, read(formatLost).format().rateHz());
  }

  @Test
  void aDamagedNameOrFormatSizeIsMended() throws IOException {
    byte[] whole = mono().chunk("data", NOISE).riff();
    for (int at : new int[] {12, 15, 36, 39, 0, 3, 8, 11}) {
      byte[] damaged = whole.clone();
      damaged[at] ^= (byte) 0x80;
      WaveHeader header = read(damaged);
      assertEquals(FRAMES, header.frameCount(), "byte " + at);
      assertSays(header, "damaged");
    }
    byte[] sized = whole.clone();
    sized[18] = 1;
    assertEquals(FRAMES, read(sized).frameCount());
  }

  @Test
  void oneLostFieldOfTheFormatFollowsFromTheOthers() throws IOException {
    for (List<Integer> place : List.of(List.of(2, 2), List.of(4, 4), List.of(14, 2))) {
      byte[] format = WaveBytes.format(1, 2, 48_000, 4, 16);
      Arrays.fill(format, place.get(0), place.get(0) + place.get(1), (byte) 0);
      WaveHeader header = read(new WaveBytes().chunk("fmt ", format).chunk("data", NOISE).riff());
      assertEquals(WaveFormat.integer(16, 48_000, 2), header.format());
      assertEquals(1, header.oddities().size(), header.oddities().toString());
    }
  }

  @Test
  void anImpossibleRateIsMalformed() {
    byte[] format = WaveBytes.format(1, 1, 3, 2, 16);
    assertThrows(
        MalformedMediaException.class,
        () -> read(new WaveBytes().chunk("fmt ", format).chunk("data", NOISE).riff()));
  }
}
