package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.wave.WaveFormat.Coding;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Byte layout of written files. The golden texts under {@code hardpan/wave} are rewritten with
 * {@code -Dgolden.update=true}; they were compared with the standards by hand when they were made.
 */
class WaveLayoutTest {
  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path folder;

  private void assertGolden(String name, byte[] file) throws IOException {
    Path wave = folder.resolve(name + ".wav");
    Files.write(wave, file);
    String dump = ChunkDump.of(wave);
    Path golden = Path.of("src/test/resources/hardpan/wave", name + ".txt");
    if (Boolean.getBoolean("golden.update")) {
      Files.writeString(golden, dump, StandardCharsets.UTF_8);
    }
    assertEquals(Files.readString(golden, StandardCharsets.UTF_8).replace("\r\n", "\n"), dump);
  }

  private byte[] write(WaveFormat format, int frames, WaveMetadata metadata) throws IOException {
    Path file = folder.resolve("layout.wav");
    Files.deleteIfExists(file);
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, metadata)) {
      writer.writeFloats(new float[format.channelCount()][frames], frames);
      writer.finish();
    }
    return Files.readAllBytes(file);
  }

  @Test
  void everyChunkOfACompleteFile() throws IOException {
    assertGolden("complete", WaveBytes.complete(folder));
  }

  @Test
  void extensibleFormat() throws IOException {
    WaveFormat format = new WaveFormat(Coding.INTEGER, 96_000, 6, 24, 20, 0x3F);
    assertGolden("extensible", write(format, 3, WaveMetadata.NONE));
  }

  @Test
  void floatFormat() throws IOException {
    assertGolden("float", write(WaveFormat.float32(44_100, 1), 3, WaveMetadata.NONE));
  }

  @Test
  void damagedFile() throws IOException {
    byte[] file =
        new WaveBytes()
            .chunk("bext", new byte[10])
            .format(1, 8000, 8)
            .chunk("abcd", new byte[] {1, 2, 3})
            .chunk("data", 100, new byte[] {0, 127, -1}, 0)
            .file("RIFF", 0);
    assertGolden("damaged", file);
  }

  /** Multimedia Programming Interface 1.0: the size counts everything after its own field. */
  @Test
  void outerSizeIsFileLengthLessEight() throws IOException {
    for (int frames = 0; frames < 4; frames++) {
      byte[] file = write(WaveFormat.integer(24, 48_000, 1), frames, WaveBytes.everything());
      ByteBuffer in = ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN);
      assertEquals(file.length - 8, in.getInt(4));
      assertEquals(0, file.length % 2);
      WaveHeader header = WaveBytes.header(file);
      assertEquals(List.of(), header.oddities());
      assertEquals(frames, header.frameCount());
    }
  }

  /** Same source: an odd payload is followed by a zero byte that its size does not count. */
  @Test
  void oddPayloadsArePadded() throws IOException {
    for (int length = 0; length < 3; length++) {
      WaveMetadata metadata =
          new WaveMetadata(
              null,
              "<BWFXML/>" + " ".repeat(length),
              Map.of("ICMT", "c".repeat(length)),
              List.of(new CuePoint(7, 1, 0, "l".repeat(length + 1), "n".repeat(length))));
      byte[] file = write(WaveFormat.integer(24, 48_000, 1), 1 + length, metadata);
      WaveHeader header = WaveBytes.header(file);
      assertEquals(List.of(), header.oddities());
      assertEquals(metadata.info(), header.info());
      assertEquals(metadata.cuePoints(), header.cuePoints());
      for (ChunkPlace chunk : header.chunks()) {
        assertEquals(0, chunk.offset() % 2, chunk.toString());
        if (chunk.size() % 2 == 1) {
          assertEquals(0, file[(int) (chunk.payloadOffset() + chunk.size())]);
        }
      }
    }
  }

  @Test
  void chunksComeInTheOrderWePromise() throws IOException {
    WaveHeader header = WaveBytes.header(WaveBytes.complete(folder));
    assertEquals(
        List.of("JUNK", "fmt ", "bext", "iXML", "LIST", "data", "cue ", "LIST"),
        header.chunks().stream().map(ChunkPlace::id).toList());
    // EBU Tech 3306, section 3.5: the reserve is the first chunk and at least 28 bytes long.
    assertEquals(12, header.chunks().get(0).offset());
    assertEquals(28, header.chunks().get(0).size());
  }

  @Test
  void everythingComesBack() throws IOException {
    WaveHeader header = WaveBytes.header(WaveBytes.complete(folder));
    WaveMetadata metadata = WaveBytes.everything();
    assertEquals(WaveHeader.Form.RIFF, header.form());
    assertEquals(metadata.bext(), header.bext());
    assertEquals(metadata.cuePoints(), header.cuePoints());
    assertEquals(metadata.info(), header.info());
    assertEquals(List.of("Lectern"), header.channelNames());
    String ixml = metadata.ixml();
    assertNotNull(ixml);
    assertEquals(ixml.stripTrailing(), header.ixml());
    BroadcastExtension bext = header.bext();
    assertNotNull(bext);
    // iXML 3.01: the time stamp equals the bext time reference.
    IxmlDocument.Speed speed = header.ixmlDocument().speed();
    assertNotNull(speed);
    assertEquals(bext.timeReferenceSamples(), speed.timestampSamples());
  }

  /** Microsoft, WAVEFORMATEXTENSIBLE: for more than two channels, else the plain tags do. */
  @Test
  void plainTagsWhereReadersExpectThem() throws IOException {
    assertEquals(1, tag(write(WaveFormat.integer(24, 48_000, 1), 1, WaveMetadata.NONE)));
    assertEquals(1, tag(write(WaveFormat.integer(16, 48_000, 2), 1, WaveMetadata.NONE)));
    assertEquals(3, tag(write(WaveFormat.float32(48_000, 2), 1, WaveMetadata.NONE)));
    assertEquals(0xFFFE, tag(write(WaveFormat.integer(24, 48_000, 3), 1, WaveMetadata.NONE)));
  }

  private static int tag(byte[] file) {
    return ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN).getShort(56) & 0xFFFF;
  }

  @Test
  void measuredLoudnessIsFilledInAtTheEnd() throws IOException {
    Path file = folder.resolve("loudness.wav");
    BroadcastExtension bext =
        BroadcastExtension.of("d", "o", "r", "2026-05-14", "19:00:00", 5, null, "A=PCM");
    WaveMetadata metadata = new WaveMetadata(bext, null, Map.of(), List.of());
    BroadcastExtension measured =
        bext.withLoudness(new BextLoudness(-23.0, 4.0, -1.0, -20.0, -21.0));
    try (WaveFileWriter writer =
        WaveFileWriter.create(file, WaveFormat.integer(24, 48_000, 1), metadata)) {
      writer.writeFloats(new float[1][5], 5);
      BroadcastExtension longer =
          BroadcastExtension.of("d", "o", "r", "2026-05-14", "19:00:00", 5, null, "A=PCM,T=x");
      assertThrows(IllegalArgumentException.class, () -> writer.finish(longer));
      writer.finish(measured);
    }
    WaveHeader header = WaveHeader.read(file);
    assertEquals(measured, header.bext());
    assertEquals(5, header.frameCount());
    assertEquals(List.of(), header.oddities());
  }

  /** EBU Tech 3306, sections 3.4 and 3.5, on a sparse file past 4 GiB. */
  @Test
  void pastFourGibibytesTheFileBecomesRf64() throws IOException {
    Path file = folder.resolve("large.wav");
    WaveFormat format = WaveFormat.float32(48_000, 1);
    long hole = (1L << 30) + 5;
    try {
      try (WaveFileWriter writer =
          WaveFileWriter.create(
              file,
              format,
              new WaveMetadata(
                  null,
                  null,
                  Map.of(),
                  List.of(
                      CuePoint.marker(1, hole, "late"),
                      CuePoint.marker(2, 1L << 32, "too late"))))) {
        writer.skipFrames(hole);
        writer.writeFloats(new float[][] {{0.25f, -0.5f}}, 2);
        writer.finish();
        assertEquals(1, writer.omittedCuePoints());
      }
      long size = Files.size(file);
      assertTrue(size > 1L << 32);
      ByteBuffer head = head(file, 100);
      assertEquals("RF64", id(head, 0));
      assertEquals(-1, head.getInt(4));
      assertEquals("ds64", id(head, 12));
      assertEquals(28, head.getInt(16));
      assertEquals(size - 8, head.getLong(20));
      assertEquals(4 * (hole + 2), head.getLong(28));
      assertEquals(hole + 2, head.getLong(36));
      assertEquals(0, head.getInt(44));
      assertEquals("fact", id(head, 74));
      assertEquals(-1, head.getInt(82));
      assertEquals("data", id(head, 86));
      assertEquals(-1, head.getInt(90));
      try (WaveFileReader reader = WaveFileReader.open(file)) {
        WaveHeader header = reader.header();
        assertEquals(List.of(), header.oddities());
        assertEquals(WaveHeader.Form.RF64, header.form());
        assertEquals(94, header.dataOffset());
        assertEquals(hole + 2, header.frameCount());
        assertEquals(List.of(CuePoint.marker(1, hole, "late")), header.cuePoints());
        float[][] end = new float[1][4];
        assertEquals(3, reader.readAt(hole - 1, end, 4));
        assertArrayEquals(new float[] {0, 0.25f, -0.5f, 0}, end[0]);
      }
      // The same file as a writer with 32-bit sizes would have left it: the size ran over.
      try (var channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
        channel.write(ByteBuffer.wrap("RIFF".getBytes(StandardCharsets.US_ASCII)), 0);
        channel.write(ByteBuffer.wrap("JUNK".getBytes(StandardCharsets.US_ASCII)), 12);
        channel.write(ByteBuffer.wrap(WaveBytes.littleEndian((int) (4 * (hole + 2)))), 90);
      }
      WaveHeader wrapped = WaveHeader.read(file);
      assertEquals(hole + 2, wrapped.frameCount());
      assertEquals(2, wrapped.oddities().size(), wrapped.oddities().toString());
    } finally {
      Files.deleteIfExists(file);
    }
  }

  /** Below the limit of the 32-bit fields nothing is promoted. */
  @Test
  void justBelowFourGibibytesTheFileStaysRiff() throws IOException {
    Path file = folder.resolve("below.wav");
    try {
      try (WaveFileWriter writer =
          WaveFileWriter.create(file, WaveFormat.integer(8, 48_000, 1), WaveMetadata.NONE)) {
        // 80 bytes before the samples; the outer size becomes 0xFFFFFFFE, the largest there is.
        writer.skipFrames(0xFFFF_FFFEL + 8 - 80 - 1);
        writer.writeFloats(new float[1][1], 1);
        writer.finish();
      }
      assertEquals(0xFFFF_FFFEL + 8, Files.size(file));
      WaveHeader header = WaveHeader.read(file);
      assertEquals(WaveHeader.Form.RIFF, header.form());
      assertEquals(List.of(), header.oddities());
      assertEquals(0xFFFF_FFFEL + 8 - 80, header.frameCount());
    } finally {
      Files.deleteIfExists(file);
    }
  }

  private static ByteBuffer head(Path file, int length) throws IOException {
    try (var in = Files.newInputStream(file)) {
      return ByteBuffer.wrap(in.readNBytes(length)).order(ByteOrder.LITTLE_ENDIAN);
    }
  }

  private static String id(ByteBuffer in, int at) {
    byte[] four = new byte[4];
    in.get(at, four);
    return new String(four, StandardCharsets.US_ASCII);
  }
}
