package hardpan.wave;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * The {@code cue} chunk and its texts in {@code LIST adtl} (Multimedia Programming Interface and
 * Data Specifications 1.0, chapter 3). The position read is the sample offset, the field that
 * counts for an uncompressed lone data chunk.
 */
final class CueChunks {
  private static final int CUE_SIZE = 24;

  /** Markers of one file that are read. Our own bound. */
  private static final int MAX_POINTS = 1 << 16;

  private final Map<Long, Long> frames = new LinkedHashMap<>();
  private final Map<Long, Long> lengths = new LinkedHashMap<>();
  private final Map<Long, String> labels = new LinkedHashMap<>();
  private final Map<Long, String> notes = new LinkedHashMap<>();

  void addCue(byte[] payload, List<String> oddities) {
    if (payload.length < 4) {
      return;
    }
    ByteBuffer in = ByteBuffer.wrap(payload).order(ByteOrder.LITTLE_ENDIAN);
    long stated = Integer.toUnsignedLong(in.getInt());
    long present = in.remaining() / CUE_SIZE;
    if (stated > present) {
      oddities.add("The cue chunk says " + stated + " points, but has " + present + ".");
    }
    boolean repeated = false;
    for (long i = 0; i < Math.min(stated, present) && frames.size() < MAX_POINTS; i++) {
      int from = in.position();
      long id = Integer.toUnsignedLong(in.getInt(from));
      long frame = Integer.toUnsignedLong(in.getInt(from + 20));
      repeated |= frames.putIfAbsent(id, frame) != null;
      in.position(from + CUE_SIZE);
    }
    if (repeated) {
      oddities.add("Some cue points share a number; the first of each counts.");
    }
  }

  void addTexts(byte[] list, List<String> oddities) {
    for (ListEntry entry : ListEntry.read(list, oddities)) {
      switch (entry.id()) {
        case "labl" -> keep(labels, entry.number(0), entry.text(4));
        case "note" -> keep(notes, entry.number(0), entry.text(4));
        case "ltxt" -> keep(lengths, entry.number(0), entry.number(4));
        default -> {
          // Embedded files and later additions carry nothing we show.
        }
      }
    }
  }

  private static <T> void keep(Map<Long, T> map, long id, T value) {
    if (map.size() < MAX_POINTS) {
      map.putIfAbsent(id, value);
    }
  }

  List<CuePoint> points() {
    List<CuePoint> points = new ArrayList<>();
    frames.forEach(
        (id, frame) ->
            points.add(
                new CuePoint(
                    id,
                    frame,
                    lengths.getOrDefault(id, 0L),
                    labels.getOrDefault(id, ""),
                    notes.getOrDefault(id, ""))));
    return points;
  }

  /** The payload of the {@code cue} chunk. */
  static byte[] encodeCue(List<CuePoint> points) {
    ByteBuffer out =
        ByteBuffer.allocate(4 + CUE_SIZE * points.size()).order(ByteOrder.LITTLE_ENDIAN);
    out.putInt(points.size());
    for (CuePoint point : points) {
      out.putInt((int) point.id());
      out.putInt((int) point.frame());
      ChunkText.putId(out, "data");
      out.putInt(0);
      out.putInt(0);
      out.putInt((int) point.frame());
    }
    return out.array();
  }

  /** The payload of the {@code LIST adtl} chunk; only its type if there is no text or region. */
  static byte[] encodeTexts(List<CuePoint> points) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes("adtl".getBytes(StandardCharsets.US_ASCII));
    for (CuePoint point : points) {
      if (!point.label().isEmpty()) {
        out.writeBytes(textEntry("labl", point.id(), point.label()));
      }
      if (!point.note().isEmpty()) {
        out.writeBytes(textEntry("note", point.id(), point.note()));
      }
      if (point.lengthFrames() > 0) {
        ByteBuffer region = ByteBuffer.allocate(20).order(ByteOrder.LITTLE_ENDIAN);
        region.putInt((int) point.id()).putInt((int) point.lengthFrames());
        ChunkText.putId(region, "rgn ");
        out.writeBytes(ListEntry.encode("ltxt", region.array()));
      }
    }
    return out.toByteArray();
  }

  private static byte[] textEntry(String id, long cueId, String text) {
    byte[] utf8 = text.replace("\0", "").getBytes(StandardCharsets.UTF_8);
    ByteBuffer payload = ByteBuffer.allocate(4 + utf8.length + 1).order(ByteOrder.LITTLE_ENDIAN);
    payload.putInt((int) cueId).put(utf8);
    return ListEntry.encode(id, payload.array());
  }
}
