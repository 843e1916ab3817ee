package hardpan.wave;

import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;

/**
 * A file's chunks as text, field by field: what a practitioner wants to see when a program refuses
 * a file, and what tests compare byte layouts with. Offsets and sizes are the file's own; nothing
 * is corrected, only cut to {@value #MAX_SHOWN} bytes a chunk.
 */
public final class ChunkDump {
  private static final int MAX_SHOWN = 1 << 16;
  private static final int DATA_SHOWN = 24;

  private final StringBuilder out = new StringBuilder();

  private ChunkDump() {}

  /**
   * Dumps a file.
   *
   * @return lines that end with LF
   * @throws MediaException as {@link WaveHeader#read(Path)}
   * @throws IOException if the file cannot be read
   */
  public static String of(Path file) throws IOException {
    WaveHeader header = WaveHeader.read(file);
    ChunkDump dump = new ChunkDump();
    try (FileChannel channel = WaveHeader.openReadOnly(file)) {
      ByteBuffer head = bytes(channel, 0, 12);
      dump.line(0, ChunkText.id(head), Integer.toUnsignedLong(head.getInt()));
      dump.field("type", ChunkText.id(head));
      for (ChunkPlace place : header.chunks()) {
        long stated = Integer.toUnsignedLong(bytes(channel, place.offset() + 4, 4).getInt());
        dump.line(place.offset(), place.id(), stated);
        boolean isSound = place.id().equals("data");
        int shown = (int) Math.min(place.size(), isSound ? DATA_SHOWN : MAX_SHOWN);
        dump.chunk(place, bytes(channel, place.payloadOffset(), shown));
      }
    }
    for (String oddity : header.oddities()) {
      dump.out.append("odd: ").append(oddity).append('\n');
    }
    return dump.out.toString();
  }

  private static ByteBuffer bytes(FileChannel channel, long offset, int length) throws IOException {
    ByteBuffer buffer = ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    long at = offset;
    while (buffer.hasRemaining()) {
      int count = channel.read(buffer, at);
      if (count < 0) {
        break;
      }
      at += count;
    }
    return buffer.flip();
  }

  private void line(long offset, String id, long statedSize) {
    out.append(String.format(Locale.ROOT, "%10d  %s  %d", offset, id, statedSize)).append('\n');
  }

  private void field(String name, Object value) {
    out.append("            ").append(name).append(" = ").append(value).append('\n');
  }

  private void text(String name, String value) {
    String shown =
        value.replace("\\", "\\\\").replace("\r", "\\r").replace("\n", "\\n").replace("\t", "\\t");
    field(name, '"' + shown + '"');
  }

  private void hex(String name, byte[] value) {
    field(name, HexFormat.ofDelimiter(" ").formatHex(value));
  }

  private void chunk(ChunkPlace place, ByteBuffer in) {
    int needed =
        switch (place.id()) {
          case "fmt " -> 16;
          case "ds64" -> 28;
          case "fact", "cue " -> 4;
          case "bext" -> BroadcastExtension.FIXED_SIZE;
          default -> 0;
        };
    if (in.remaining() < needed) {
      hex("too short", rest(in));
      return;
    }
    switch (place.id()) {
      case "fmt " -> format(in);
      case "ds64" -> longSizes(in);
      case "fact" -> field("frames", unsigned(in));
      case "bext" -> broadcastExtension(in);
      case "iXML" -> xml(in);
      case "cue " -> cues(in);
      case "LIST" -> list(place, in);
      case "data" -> hex("begins", rest(in));
      default -> unknown(in);
    }
  }

  private void format(ByteBuffer in) {
    field("format tag", String.format(Locale.ROOT, "0x%04X", in.getShort() & 0xFFFF));
    field("channels", in.getShort() & 0xFFFF);
    field("frames a second", unsigned(in));
    field("bytes a second", unsigned(in));
    field("bytes a frame", in.getShort() & 0xFFFF);
    field("bits a sample", in.getShort() & 0xFFFF);
    if (in.remaining() >= 2) {
      field("extra bytes", in.getShort() & 0xFFFF);
    }
    if (in.remaining() >= 22) {
      field("valid bits", in.getShort() & 0xFFFF);
      field("channel mask", String.format(Locale.ROOT, "0x%X", in.getInt()));
      byte[] subFormat = new byte[16];
      in.get(subFormat);
      hex("sub-format", subFormat);
    }
  }

  private void longSizes(ByteBuffer in) {
    field("riff size", Long.toUnsignedString(in.getLong()));
    field("data size", Long.toUnsignedString(in.getLong()));
    field("sample count", Long.toUnsignedString(in.getLong()));
    field("table entries", unsigned(in));
    while (in.remaining() >= 12) {
      String id = ChunkText.id(in);
      field("size of " + id, Long.toUnsignedString(in.getLong()));
    }
  }

  private void broadcastExtension(ByteBuffer in) {
    text("description", ChunkText.field(in, 256));
    text("originator", ChunkText.field(in, 32));
    text("originator reference", ChunkText.field(in, 32));
    text("date", ChunkText.field(in, 10));
    text("time", ChunkText.field(in, 8));
    field("time reference", Long.toUnsignedString(in.getLong()));
    field("version", in.getShort() & 0xFFFF);
    byte[] umid = new byte[Umid.SIZE];
    in.get(umid);
    field("umid", HexFormat.of().formatHex(umid));
    for (String name :
        List.of("loudness", "loudness range", "max true peak", "max momentary", "max short-term")) {
      short coded = in.getShort();
      field(
          name,
          coded == BextLoudness.UNUSED
              ? "unused"
              : String.format(Locale.ROOT, "%d/100", (int) coded));
    }
    byte[] reserved = new byte[180];
    in.get(reserved);
    field("reserved", Arrays.equals(reserved, new byte[180]) ? "zero" : "not zero");
    byte[] history = rest(in);
    text("coding history", ChunkText.decode(history, 0, history.length));
  }

  private void xml(ByteBuffer in) {
    for (String row : ChunkText.xml(rest(in)).lines().toList()) {
      out.append("            | ").append(row).append('\n');
    }
  }

  private void cues(ByteBuffer in) {
    field("points", unsigned(in));
    while (in.remaining() >= 24) {
      String numbers = "id " + unsigned(in) + ", position " + unsigned(in);
      String id = ChunkText.id(in);
      field(
          "point",
          String.format(
              Locale.ROOT,
              "%s, chunk '%s', chunk start %d, block start %d, sample offset %d",
              numbers,
              id,
              unsigned(in),
              unsigned(in),
              unsigned(in)));
    }
  }

  private void list(ChunkPlace place, ByteBuffer in) {
    field("type", place.listType());
    List<String> problems = new ArrayList<>();
    for (ListEntry entry : ListEntry.read(rest(in), problems)) {
      String name = entry.id() + " (" + entry.size() + ")";
      switch (entry.id()) {
        case "labl", "note" -> text(name + " of " + entry.number(0), entry.text(4));
        case "ltxt" -> field(name + " of " + entry.number(0), entry.number(4) + " frames");
        default -> text(name, entry.text(0));
      }
    }
    problems.forEach(problem -> field("odd", problem));
  }

  private void unknown(ByteBuffer in) {
    byte[] payload = rest(in);
    if (Arrays.equals(payload, new byte[payload.length])) {
      field("content", "zero");
    } else {
      hex("begins", Arrays.copyOf(payload, Math.min(payload.length, DATA_SHOWN)));
    }
  }

  private static long unsigned(ByteBuffer in) {
    return Integer.toUnsignedLong(in.getInt());
  }

  private static byte[] rest(ByteBuffer in) {
    byte[] bytes = new byte[in.remaining()];
    in.get(bytes);
    return bytes;
  }
}
