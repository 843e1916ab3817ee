package hardpan.wave;

import hardpan.base.MediaException;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.UUID;

/** Builds Wave files byte by byte, right and wrong ones, without the writer under test. */
final class WaveBytes {
  private final ByteArrayOutputStream body = new ByteArrayOutputStream();

  /** A chunk as it should be. */
  WaveBytes chunk(String id, byte[] payload) {
    return chunk(id, payload.length, payload, payload.length % 2);
  }

  /** A chunk with any stated size and any padding. */
  WaveBytes chunk(String id, long statedSize, byte[] payload, int padBytes) {
    body.writeBytes(id.getBytes(StandardCharsets.ISO_8859_1));
    body.writeBytes(littleEndian((int) statedSize));
    body.writeBytes(payload);
    body.writeBytes(new byte[padBytes]);
    return this;
  }

  /** Bytes that are no chunk. */
  WaveBytes raw(byte... bytes) {
    body.writeBytes(bytes);
    return this;
  }

  /** The format chunk of plain whole numbers. */
  WaveBytes format(int channels, int rateHz, int bits) {
    int frame = channels * ((bits + 7) / 8);
    return chunk("fmt ", format(1, channels, rateHz, frame, bits));
  }

  static byte[] format(int tag, int channels, int rateHz, int blockAlign, int bits) {
    return ByteBuffer.allocate(16)
        .order(ByteOrder.LITTLE_ENDIAN)
        .putShort((short) tag)
        .putShort((short) channels)
        .putInt(rateHz)
        .putInt(blockAlign * rateHz)
        .putShort((short) blockAlign)
        .putShort((short) bits)
        .array();
  }

  static byte[] littleEndian(int value) {
    return ByteBuffer.allocate(4).order(ByteOrder.LITTLE_ENDIAN).putInt(value).array();
  }

  /** The file with the right outer size. */
  byte[] riff() {
    return file("RIFF", 4 + body.size());
  }

  /** The file with any outer form and size. */
  byte[] file(String form, long statedSize) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes(form.getBytes(StandardCharsets.US_ASCII));
    out.writeBytes(littleEndian((int) statedSize));
    out.writeBytes("WAVE".getBytes(StandardCharsets.US_ASCII));
    out.writeBytes(body.toByteArray());
    return out.toByteArray();
  }

  static WaveHeader header(byte[] file) throws MediaException {
    return WaveHeader.read(new BytesChannel(file), "x.wav");
  }

  /** Metadata with every kind of chunk, texts of odd and even length. */
  static WaveMetadata everything() {
    BroadcastExtension bext =
        BroadcastExtension.of(
            "Evening talk, lectern microphone",
            "Hardpan",
            "XXHPN000000000042190000123456789",
            "2026-05-14",
            "19:00:00",
            68_400L * 48_000,
            Umid.basic(UUID.fromString("00112233-4455-6677-8899-aabbccddeeff")),
            "A=PCM,F=48000,W=16,M=dual-mono,T=camera\nA=PCM,F=48000,W=24,M=mono,T=Hardpan");
    IxmlDocument ixml =
        new IxmlDocument(
            "Talks & Tea",
            "",
            "1",
            "2026-05-14",
            "",
            "b1f2",
            new IxmlDocument.Speed("25/1", false, 48_000, 24, 48_000, 68_400L * 48_000, 48_000),
            new IxmlDocument.History("", "A003.mov", ""),
            new IxmlDocument.FileSet(2, "5d0e", "Evening", "1"),
            List.of(new IxmlDocument.Track(1, 1, "Lectern", "")));
    return new WaveMetadata(
        bext,
        ixml.toXml(),
        Map.of("INAM", "Lectern"),
        List.of(
            CuePoint.marker(1, 2, "clap"),
            new CuePoint(2, 3, 2, "overload", "the lectern was hit")));
  }

  /** A finished 24-bit mono file of seven frames with everything in it. */
  static byte[] complete(Path folder) throws IOException {
    Path file = folder.resolve("complete.wav");
    try (WaveFileWriter writer =
        WaveFileWriter.create(file, WaveFormat.integer(24, 48_000, 1), everything())) {
      writer.writeIntegers(
          new int[][] {{0, 1 << 8, -1 << 8, 0x12345600, 0x7FFFFF00, Integer.MIN_VALUE, 0x100}}, 7);
      writer.finish();
    }
    byte[] bytes = Files.readAllBytes(file);
    Files.delete(file);
    return bytes;
  }
}
