package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import hardpan.wave.WaveFormat.Coding;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Files as power cuts, odd recorders and bad disks leave them. */
class WaveDamageTest {
  private static final byte[] SOUND = {1, 0, 2, 0, 3, 0, 4, 0, -1, -1};

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path folder;

  private static WaveBytes mono() {
    return new WaveBytes().format(1, 48_000, 16);
  }

  private static void assertOdd(WaveHeader header, String... parts) {
    assertEquals(parts.length, header.oddities().size(), header.oddities().toString());
    for (int i = 0; i < parts.length; i++) {
      assertTrue(header.oddities().get(i).contains(parts[i]), header.oddities().toString());
    }
  }

  /** Reads header and samples; only a typed exception may come out. */
  static boolean readsOrFailsTyped(byte[] file) {
    try (WaveFileReader reader = WaveFileReader.over(new BytesChannel(file), "x.wav")) {
      WaveHeader header = reader.header();
      assertTrue(header.dataOffset() <= file.length);
      long bytes = header.frameCount() * header.format().bytesPerFrame();
      assertTrue(header.dataOffset() + bytes <= file.length);
      int frames = (int) Math.min(64, Math.max(1, header.frameCount()));
      float[][] block = new float[header.format().channelCount()][frames];
      assertEquals(Math.min(frames, header.frameCount()), reader.readAt(0, block, frames));
      header.channelNames();
      return true;
    } catch (MediaException e) {
      assertTrue(e.sentence().startsWith("x.wav "), e.sentence());
      return false;
    }
  }

  @Test
  void aCleanFileHasNoOddities() throws IOException {
    assertOdd(WaveBytes.header(mono().chunk("data", SOUND).riff()));
  }

  @ParameterizedTest
  @ValueSource(longs = {0, 0xFFFFFFFFL, 11, 1000, 0x7FFFFFFF, 0x80000000L})
  void unfilledOrTooLargeSizesReadToTheEnd(long stated) throws IOException {
    WaveHeader header = WaveBytes.header(mono().chunk("data", stated, SOUND, 0).file("RIFF", 0));
    assertEquals(5, header.frameCount());
    assertOdd(header, "to the end of the file", "The file says it has 0 bytes");
  }

  @Test
  void anHonestlyEmptyFileIsEmpty() throws IOException {
    WaveHeader header =
        WaveBytes.header(mono().chunk("data", new byte[0]).chunk("junk", new byte[6]).riff());
    assertEquals(0, header.frameCount());
    assertOdd(header);
    assertEquals(0, WaveBytes.header(mono().chunk("data", new byte[0]).riff()).frameCount());
  }

  @Test
  void missingPadBytesAreForgiven() throws IOException {
    WaveHeader between =
        WaveBytes.header(mono().chunk("abcd", 3, new byte[3], 0).chunk("data", SOUND).riff());
    assertEquals(5, between.frameCount());
    assertOdd(between, "pad byte after the chunk 'abcd'");
    WaveHeader atEnd =
        WaveBytes.header(
            new WaveBytes().format(1, 48_000, 8).chunk("data", 3, new byte[3], 0).riff());
    assertEquals(3, atEnd.frameCount());
    assertOdd(atEnd, "pad byte after the chunk 'data'");
  }

  @Test
  void unknownChunksAreListed() throws IOException {
    WaveHeader header =
        WaveBytes.header(
            new WaveBytes()
                .chunk("elm1", new byte[5])
                .format(1, 48_000, 16)
                .chunk("LIST", "xyzwabcd".getBytes(StandardCharsets.US_ASCII))
                .chunk("data", SOUND)
                .chunk("PEAK", new byte[2])
                .riff());
    assertOdd(header);
    assertEquals(
        List.of(
            new ChunkPlace("elm1", "", 12, 5),
            new ChunkPlace("fmt ", "", 26, 16),
            new ChunkPlace("LIST", "xyzw", 50, 8),
            new ChunkPlace("data", "", 66, 10),
            new ChunkPlace("PEAK", "", 84, 2)),
        header.chunks());
    assertNull(header.chunk("none"));
  }

  @Test
  void trailingBytesAndHalfFramesAreReported() throws IOException {
    WaveHeader header =
        WaveBytes.header(
            new WaveBytes()
                .format(2, 48_000, 16)
                .chunk("data", SOUND)
                .raw(new byte[20])
                .file("RIFF", 46));
    assertEquals(2, header.frameCount());
    assertOdd(
        header, "20 bytes at the end", "says it has 46 bytes", "middle of a frame; the last 2");
  }

  @Test
  void secondChunksDoNotCount() throws IOException {
    byte[] bext = BroadcastExtension.of("one", "", "", "", "", 0, null, "").encode();
    byte[] other = BroadcastExtension.of("two", "", "", "", "", 0, null, "").encode();
    WaveHeader header =
        WaveBytes.header(
            mono()
                .format(2, 8000, 8)
                .chunk("bext", bext)
                .chunk("bext", other)
                .chunk("data", SOUND)
                .chunk("data", SOUND)
                .riff());
    assertEquals(48_000, header.format().rateHz());
    assertEquals(5, header.frameCount());
    BroadcastExtension read = header.bext();
    assertEquals("one", read == null ? "" : read.description());
    assertOdd(header, "second format", "second bext", "second data");
  }

  @Test
  void formatAfterTheSoundIsForgiven() throws IOException {
    WaveHeader header =
        WaveBytes.header(new WaveBytes().chunk("data", SOUND).format(1, 48_000, 16).riff());
    assertEquals(5, header.frameCount());
    assertOdd(header, "after the sound");
  }

  @Test
  void oversizedAndMalformedMetadataIsSkipped() throws IOException {
    WaveHeader header =
        WaveBytes.header(
            mono()
                .chunk("bext", new byte[WaveHeaderReader.MAX_BEXT + 2])
                .chunk("iXML", "<BWFXML><TAKE>".getBytes(StandardCharsets.UTF_8))
                .chunk("cue ", WaveBytes.littleEndian(9))
                .chunk("LIST", "INFOINAM\1\1\1\1".getBytes(StandardCharsets.US_ASCII))
                .chunk("data", SOUND)
                .riff());
    assertEquals(5, header.frameCount());
    assertNull(header.bext());
    assertEquals(IxmlDocument.EMPTY, header.ixmlDocument());
    assertOdd(header, "'bext' has 1048578", "iXML chunk is not well-formed", "9 points", "LIST");
  }

  /** EBU Tech 3285, A2.2: a wider container than the bits ask for is left-justified. */
  @Test
  void contradictingBlockAlignIsSortedOut() throws IOException {
    WaveHeader wider =
        WaveBytes.header(
            new WaveBytes()
                .chunk("fmt ", WaveBytes.format(1, 2, 48_000, 8, 24))
                .chunk("data", new byte[16])
                .riff());
    assertEquals(new WaveFormat(Coding.INTEGER, 48_000, 2, 32, 24, 0), wider.format());
    WaveHeader wrong =
        WaveBytes.header(
            new WaveBytes()
                .chunk("fmt ", WaveBytes.format(1, 2, 48_000, 1, 16))
                .chunk("data", new byte[16])
                .riff());
    assertEquals(4, wrong.frameCount());
    assertOdd(wrong, "1 bytes a frame where 4 are right", "bytes a second");
  }

  @Test
  void channelMaskWithTooManySpeakersIsIgnored() throws IOException {
    byte[] format =
        Arrays.copyOf(
            FormatChunk.encode(new WaveFormat(Coding.INTEGER, 48_000, 2, 24, 20, 0x3)), 40);
    ByteBuffer.wrap(format).order(ByteOrder.LITTLE_ENDIAN).putShort(18, (short) 0).putInt(20, 7);
    WaveHeader header =
        WaveBytes.header(new WaveBytes().chunk("fmt ", format).chunk("data", new byte[12]).riff());
    assertEquals(WaveFormat.integer(24, 48_000, 2), header.format());
    assertOdd(header, "0 valid bits in 24", "mask 0x7");
  }

  /** EBU Tech 3306, section 3.4, and ITU-R BS.2088: sizes of -1 send the reader to ds64. */
  @Test
  void longSizesAreTakenFromDs64() throws IOException {
    for (String form : List.of("RF64", "BW64")) {
      byte[] ds64 =
          ByteBuffer.allocate(28 + 12)
              .order(ByteOrder.LITTLE_ENDIAN)
              .putLong(4 + 48 + 24 + 18 + 14)
              .putLong(10)
              .putLong(5)
              .putInt(1)
              .put("big ".getBytes(StandardCharsets.US_ASCII))
              .putLong(6)
              .array();
      WaveHeader header =
          WaveBytes.header(
              new WaveBytes()
                  .chunk("ds64", ds64)
                  .format(1, 48_000, 16)
                  .chunk("data", 0xFFFFFFFFL, SOUND, 0)
                  .chunk("big ", 0xFFFFFFFFL, new byte[6], 0)
                  .file(form, 0xFFFFFFFFL));
      assertEquals(WaveHeader.Form.valueOf(form), header.form());
      assertEquals(5, header.frameCount());
      assertOdd(header);
    }
  }

  @Test
  void longSizesThatAreMissingOrWrongReadToTheEnd() throws IOException {
    WaveHeader missing =
        WaveBytes.header(mono().chunk("data", 0xFFFFFFFFL, SOUND, 0).file("RF64", 0xFFFFFFFFL));
    assertEquals(5, missing.frameCount());
    assertOdd(missing, "never filled in", "ds64", "The file says");
    for (long stated : new long[] {0, 11, Long.MAX_VALUE, -2}) {
      byte[] ds64 =
          ByteBuffer.allocate(28).order(ByteOrder.LITTLE_ENDIAN).putLong(8, stated).array();
      WaveHeader wrong =
          WaveBytes.header(
              new WaveBytes()
                  .chunk("ds64", ds64)
                  .format(1, 48_000, 16)
                  .chunk("data", 0xFFFFFFFFL, SOUND, 0)
                  .file("RF64", 0xFFFFFFFFL));
      assertEquals(5, wrong.frameCount());
      assertOdd(wrong, "to the end of the file", "The file says");
    }
  }

  @Test
  void whatIsNoWaveFileIsMalformed() {
    for (byte[] file :
        List.of(
            new byte[0],
            new byte[11],
            new byte[100],
            "RIFF\4\0\0\0AVI ".getBytes(StandardCharsets.US_ASCII),
            new WaveBytes().riff(),
            mono().riff(),
            new WaveBytes().chunk("data", SOUND).riff(),
            new WaveBytes().chunk("fmt ", new byte[15]).chunk("data", SOUND).riff(),
            new WaveBytes().format(0, 48_000, 16).chunk("data", SOUND).riff(),
            new WaveBytes().format(1, 0, 16).chunk("data", SOUND).riff(),
            new WaveBytes().format(1, -1, 16).chunk("data", SOUND).riff(),
            new WaveBytes().format(1, 48_000, 0).chunk("data", SOUND).riff())) {
      assertThrows(MalformedMediaException.class, () -> WaveBytes.header(file));
    }
  }

  @Test
  void whatWeDoNotReadIsUnsupported() {
    for (byte[] file :
        List.of(
            mono().file("RIFX", 0),
            new WaveBytes()
                .chunk("fmt ", WaveBytes.format(0x55, 2, 44_100, 1, 0))
                .chunk("data", SOUND)
                .riff(),
            new WaveBytes()
                .chunk("fmt ", WaveBytes.format(3, 1, 44_100, 2, 16))
                .chunk("data", SOUND)
                .riff(),
            new WaveBytes().format(2000, 8000, 16).chunk("data", SOUND).riff(),
            new WaveBytes().format(1, 8000, 64).chunk("data", SOUND).riff(),
            mono().chunk("LIST", "wavl".getBytes(StandardCharsets.US_ASCII)).riff())) {
      assertThrows(UnsupportedMediaException.class, () -> WaveBytes.header(file));
    }
  }

  @Test
  void whatCannotBeOpenedIsAnAccessProblem() {
    assertThrows(MediaAccessException.class, () -> WaveHeader.read(folder.resolve("missing.wav")));
    assertThrows(MediaAccessException.class, () -> WaveFileReader.open(folder));
  }

  @Test
  void textsThatTogetherAreTooLargeAreNotKept() throws IOException {
    byte[] list = Arrays.copyOf("INFO".getBytes(StandardCharsets.US_ASCII), 4 << 20);
    WaveBytes file = mono();
    for (int i = 0; i < 5; i++) {
      file.chunk("LIST", list);
    }
    WaveHeader header = WaveBytes.header(file.chunk("data", SOUND).riff());
    assertEquals(5, header.frameCount());
    assertOdd(header, "LIST chunks together are too large");
  }

  @Test
  void channelsAreNamedByTracksElseByTheDescription() throws IOException {
    BroadcastExtension bext =
        BroadcastExtension.of(
            "sSCENE=1\r\nsTRK1=Lectern\r\nsTRK4=Room \r\n", "", "", "", "", 0, null, "");
    byte[] ixml =
        ("<BWFXML><TRACK_LIST><TRACK><INTERLEAVE_INDEX>2</INTERLEAVE_INDEX><NAME>Desk</NAME>"
                + "</TRACK><TRACK><INTERLEAVE_INDEX>9</INTERLEAVE_INDEX><NAME>No</NAME></TRACK>"
                + "</TRACK_LIST></BWFXML>")
            .getBytes(StandardCharsets.UTF_8);
    WaveBytes stereo = new WaveBytes().format(2, 48_000, 16).chunk("bext", bext.encode());
    assertEquals(
        List.of("Lectern", "Room"),
        WaveBytes.header(stereo.chunk("data", new byte[8]).riff()).channelNames());
    assertEquals(
        List.of("", "Desk"), WaveBytes.header(stereo.chunk("iXML", ixml).riff()).channelNames());
    WaveBytes mono = mono().chunk("bext", bext.encode()).chunk("data", SOUND);
    assertEquals(List.of(""), WaveBytes.header(mono.riff()).channelNames());
  }

  @Test
  void thousandsOfChunksAreBounded() throws IOException {
    WaveBytes file = mono().chunk("data", SOUND);
    for (int i = 0; i < 5000; i++) {
      file.chunk("tiny", new byte[0]);
    }
    WaveHeader header = WaveBytes.header(file.riff());
    assertEquals(4096, header.chunks().size());
    assertOdd(header, "more than 4096 chunks");
  }

  @Test
  void cutAtEveryByteItReadsOrFailsTyped() throws IOException {
    byte[] whole = WaveBytes.complete(folder);
    assertTrue(readsOrFailsTyped(whole));
    int read = 0;
    for (int length = 0; length < whole.length; length++) {
      if (readsOrFailsTyped(Arrays.copyOf(whole, length))) {
        read++;
      }
    }
    long dataOffset = WaveBytes.header(whole).dataOffset();
    assertEquals(whole.length - dataOffset, read);
  }

  @Test
  void randomDamageNeverEscapesUntyped() throws IOException {
    byte[] whole = WaveBytes.complete(folder);
    long seed = 3306;
    SplittableRandom random = new SplittableRandom(seed);
    for (int round = 0; round < 5_000; round++) {
      byte[] broken = whole.clone();
      int hits = 1 + random.nextInt(8);
      for (int hit = 0; hit < hits; hit++) {
        int at = random.nextInt(broken.length);
        broken[at] = random.nextBoolean() ? (byte) random.nextInt() : (byte) 0xFF;
      }
      try {
        readsOrFailsTyped(broken);
      } catch (RuntimeException | AssertionError e) {
        throw new AssertionError("seed " + seed + ", round " + round, e);
      }
    }
  }
}
