package hardpan.wave;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.SeekableByteChannel;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Walks the chunks of one file. Tolerant: a recorder that lost power leaves zero or stale sizes, so
 * the sound then counts to the end of the file and a sentence says so.
 *
 * <p>Bounds: {@value #MAX_CHUNKS} chunks; no payload is loaded that is larger than the limit for
 * its kind.
 */
final class WaveHeaderReader {
  static final int MAX_CHUNKS = 4096;
  static final int MAX_FMT = 1024;
  static final int MAX_BEXT = 1 << 20;
  static final int MAX_IXML = 16 << 20;
  static final int MAX_INFO = 4 << 20;

  /** Of all lists of a file together, since their texts are kept. */
  static final int MAX_LISTS = 16 << 20;

  static final int MAX_INFO_ENTRIES = 1000;
  static final int MAX_CUE = 2 << 20;
  static final int MAX_ADTL = 4 << 20;
  private static final int MAX_DS64 = 1 << 16;

  /** In a 32-bit size field: the size is in {@code ds64} (EBU Tech 3306, section 3.4). */
  private static final long SEE_DS64 = 0xFFFF_FFFFL;

  private final SeekableByteChannel channel;
  private final String name;
  private final List<ChunkPlace> chunks = new ArrayList<>();
  private final List<String> oddities = new ArrayList<>();
  private final Map<String, String> info = new LinkedHashMap<>();
  private final CueChunks cues = new CueChunks();
  private final Map<String, Long> longSizes = new HashMap<>();

  private long fileSize;
  private WaveHeader.Form form = WaveHeader.Form.RIFF;
  private @Nullable Long longRiffSize;
  private @Nullable WaveFormat format;
  private @Nullable ChunkPlace data;
  private @Nullable BroadcastExtension bext;
  private @Nullable String ixml;
  private boolean hasSoundList;
  private long listBytes;

  WaveHeaderReader(SeekableByteChannel channel, String name) {
    this.channel = channel;
    this.name = name;
  }

  WaveHeader read() throws MediaException {
    try {
      return parse();
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(name + " cannot be read: " + e.getMessage(), e);
    }
  }

  private WaveHeader parse() throws IOException {
    fileSize = channel.size();
    if (fileSize < 12) {
      throw new MalformedMediaException(
          name + " is no Wave file: it has only " + fileSize + " bytes.");
    }
    ByteBuffer head = bytesAt(0, 12);
    form = formOf(ChunkText.id(head));
    long riffSize = Integer.toUnsignedLong(head.getInt());
    if (!ChunkText.id(head).equals("WAVE")) {
      throw new MalformedMediaException(name + " is a RIFF file, but holds no Wave sound.");
    }
    walk();
    checkOuterSize(riffSize);
    WaveFormat found = format;
    if (found == null) {
      throw new MalformedMediaException(
          name + " is damaged: the chunk that describes its samples is missing.");
    }
    ChunkPlace sound = data;
    if (sound == null) {
      if (hasSoundList) {
        throw new UnsupportedMediaException(
            name + " keeps its sound in a list of pieces, which Hardpan does not read.");
      }
      throw new MalformedMediaException(name + " has no sound: its data chunk is missing.");
    }
    long rest = sound.size() % found.bytesPerFrame();
    if (rest != 0) {
      oddities.add(
          "The sound ends in the middle of a frame; the last " + rest + " bytes are left.");
    }
    return new WaveHeader(
        form,
        found,
        sound.payloadOffset(),
        sound.size() / found.bytesPerFrame(),
        bext,
        ixml,
        info,
        cues.points(),
        chunks,
        oddities);
  }

  private WaveHeader.Form formOf(String id) throws MediaException {
    return switch (id) {
      case "RIFF" -> WaveHeader.Form.RIFF;
      case "RF64" -> WaveHeader.Form.RF64;
      case "BW64" -> WaveHeader.Form.BW64;
      case "RIFX" ->
          throw new UnsupportedMediaException(
              name + " is a big-endian Wave file, which Hardpan does not read.");
      default ->
          throw new MalformedMediaException(
              name + " is no Wave file: it does not begin with RIFF, RF64 or BW64.");
    };
  }

  private void walk() throws IOException {
    long at = 12;
    while (fileSize - at >= 8) {
      if (chunks.size() == MAX_CHUNKS) {
        oddities.add("The file has more than " + MAX_CHUNKS + " chunks; the rest is not read.");
        return;
      }
      ByteBuffer head = bytesAt(at, 8);
      if (!isId(head)) {
        break;
      }
      String id = ChunkText.id(head);
      long start = at + 8;
      long size = sizeInEffect(id, Integer.toUnsignedLong(head.getInt()), start);
      String listType =
          id.equals("LIST") && size >= 4 && isId(bytesAt(start, 4))
              ? ChunkText.id(bytesAt(start, 4))
              : "";
      ChunkPlace place = new ChunkPlace(id, listType, at, size);
      chunks.add(place);
      take(place);
      at = afterPad(id, start + size, size);
    }
    if (at < fileSize) {
      boolean afterSound = data != null && data.equals(chunks.get(chunks.size() - 1));
      oddities.add(
          (fileSize - at)
              + " bytes at the end of the file, from byte "
              + at
              + " on, are no chunk; they are left."
              + (afterSound ? " They may be sound that the recorder did not account for." : ""));
    }
  }

  /** Where the next chunk begins: on an even offset, unless the writer forgot the pad byte. */
  private long afterPad(String id, long end, long size) throws IOException {
    if (size % 2 == 0) {
      return end;
    }
    boolean noneAtEnd = end == fileSize;
    boolean noneBetween =
        fileSize - end >= 8
            && isId(bytesAt(end, 4))
            && !(fileSize - end >= 9 && isId(bytesAt(end + 1, 4)));
    if (noneAtEnd || noneBetween) {
      oddities.add("The pad byte after the chunk '" + id + "' is missing.");
      return end;
    }
    return end + 1;
  }

  private long sizeInEffect(String id, long declared, long start) throws IOException {
    long room = fileSize - start;
    if (id.equals("data") && data == null) {
      return dataSize(declared, start, room);
    }
    long size = declared;
    Long longSize = longSizes.get(id);
    if (declared == SEE_DS64 && longSize != null) {
      size = longSize;
    }
    if (size < 0 || size > room) {
      oddities.add(
          "The chunk '" + id + "' says " + declared + " bytes, but only " + room + " are left.");
      return room;
    }
    return size;
  }

  private long dataSize(long declared, long start, long room) throws IOException {
    Long longSize = longSizes.get("data");
    if (declared == SEE_DS64 && longSize != null && longSize >= 0 && longSize <= room) {
      if (longSize > 0 || room == 0) {
        return longSize;
      }
    }
    if (declared == SEE_DS64) {
      oddities.add(
          longSize == null || longSize == 0
              ? "The length of the sound was never filled in; it is read to the end of the file."
              : "The sound should have "
                  + Long.toUnsignedString(longSize)
                  + " bytes, but the file ends after "
                  + room
                  + "; it is read to the end of the file.");
      return room;
    }
    if (declared > room) {
      oddities.add(
          "The sound should have "
              + declared
              + " bytes, but the file ends after "
              + room
              + "; it is read to the end of the file.");
      return room;
    }
    if (declared == 0 && !chunksReachEnd(start)) {
      oddities.add(
          "The length of the sound was never filled in; it is read to the end of the file.");
      return room;
    }
    return unwrapped(declared, start, room);
  }

  /** Undoes a 32-bit size that ran over, as some writers leave it past 4 GiB. */
  private long unwrapped(long declared, long start, long room) throws IOException {
    long turns = (room - declared) >> 32;
    if (turns <= 0 || chunksReachEnd(start + declared + declared % 2)) {
      return declared;
    }
    long size = declared + (turns << 32);
    if (!chunksReachEnd(start + size + size % 2)) {
      return declared;
    }
    oddities.add("The size of the sound ran over its 32 bits; " + size + " bytes are read.");
    return size;
  }

  /** Whether whole, plausible chunks lead from here to the end of the file. */
  private boolean chunksReachEnd(long from) throws IOException {
    long at = from;
    for (int count = 0; count < MAX_CHUNKS && fileSize - at >= 8; count++) {
      ByteBuffer head = bytesAt(at, 8);
      if (!isId(head)) {
        return false;
      }
      long size = Integer.toUnsignedLong(head.getInt(4));
      at += 8 + size + size % 2;
    }
    return at == fileSize || at == fileSize + 1;
  }

  private void checkOuterSize(long riffSize) {
    Long longSize = longRiffSize;
    long stated = riffSize == SEE_DS64 && longSize != null ? longSize : riffSize;
    if (form != WaveHeader.Form.RIFF && longSize == null) {
      oddities.add("The chunk ds64 with the true sizes is missing.");
    }
    if (stated != fileSize - 8) {
      oddities.add(
          "The file says it has "
              + Long.toUnsignedString(stated)
              + " bytes after its first 8, but it has "
              + (fileSize - 8)
              + ".");
    }
  }

  private void take(ChunkPlace place) throws IOException {
    switch (place.id()) {
      case "ds64" -> takeDs64(place);
      case "fmt " -> takeFormat(place);
      case "data" -> takeData(place);
      case "bext" -> takeBext(place);
      case "iXML" -> takeIxml(place);
      case "cue " -> cues.addCue(payload(place, MAX_CUE), oddities);
      case "LIST" -> takeList(place);
      default -> {
        // Listed, not interpreted.
      }
    }
  }

  private void takeDs64(ChunkPlace place) throws IOException {
    if (longRiffSize != null) {
      oddities.add("The file has a second ds64 chunk; the first one counts.");
      return;
    }
    byte[] bytes = payload(place, MAX_DS64);
    if (bytes.length < 28) {
      oddities.add("The chunk ds64 is too short; its sizes are not used.");
      return;
    }
    ByteBuffer in = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
    longRiffSize = in.getLong();
    longSizes.put("data", in.getLong());
    in.getLong();
    long entries = Integer.toUnsignedLong(in.getInt());
    for (long i = 0; i < entries && in.remaining() >= 12; i++) {
      longSizes.putIfAbsent(ChunkText.id(in), in.getLong());
    }
  }

  private void takeFormat(ChunkPlace place) throws IOException {
    if (format != null) {
      oddities.add("The file has a second format chunk; the first one counts.");
      return;
    }
    if (data != null) {
      oddities.add("The format chunk comes after the sound.");
    }
    format = FormatChunk.decode(payload(place, MAX_FMT), name, oddities);
  }

  private void takeData(ChunkPlace place) {
    if (data != null) {
      oddities.add("The file has a second data chunk; only the first one is read.");
      return;
    }
    data = place;
  }

  private void takeBext(ChunkPlace place) throws IOException {
    byte[] bytes = payload(place, MAX_BEXT);
    if (bext != null) {
      oddities.add("The file has a second bext chunk; the first one counts.");
    } else if (bytes.length >= BroadcastExtension.FIXED_SIZE) {
      bext = BroadcastExtension.decode(bytes);
    } else if (place.size() <= MAX_BEXT) {
      oddities.add("The chunk bext is too short; it is not used.");
    }
  }

  private void takeIxml(ChunkPlace place) throws IOException {
    if (ixml != null) {
      oddities.add("The file has a second iXML chunk; the first one counts.");
      return;
    }
    String text = ChunkText.xml(payload(place, MAX_IXML));
    if (!text.isEmpty()) {
      ixml = text;
      oddities.addAll(IxmlDocument.parse(text).oddities());
    }
  }

  private void takeList(ChunkPlace place) throws IOException {
    listBytes +=
        place.listType().equals("INFO") || place.listType().equals("adtl") ? place.size() : 0;
    if (listBytes > MAX_LISTS) {
      oddities.add("The LIST chunks together are too large; this one is not read.");
      return;
    }
    switch (place.listType()) {
      case "INFO" -> takeInfo(payload(place, MAX_INFO));
      case "adtl" -> cues.addTexts(payload(place, MAX_ADTL), oddities);
      case "wavl" -> hasSoundList = true;
      default -> {
        // Listed, not interpreted.
      }
    }
  }

  private void takeInfo(byte[] bytes) {
    for (ListEntry entry : ListEntry.read(bytes, oddities)) {
      if (info.size() < MAX_INFO_ENTRIES) {
        info.putIfAbsent(entry.id(), entry.text(0));
      }
    }
  }

  /** The payload, or no bytes and a sentence if it is larger than the limit for its kind. */
  private byte[] payload(ChunkPlace place, int limit) throws IOException {
    if (place.size() > limit) {
      oddities.add(
          "The chunk '" + place.id() + "' has " + place.size() + " bytes; it is not read.");
      return new byte[0];
    }
    return bytesAt(place.payloadOffset(), (int) place.size()).array();
  }

  private ByteBuffer bytesAt(long offset, int length) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    channel.position(offset);
    while (bytes.hasRemaining()) {
      if (channel.read(bytes) < 0) {
        throw new MediaAccessException(name + " became shorter while it was read.");
      }
    }
    return bytes.flip();
  }

  /** Whether the next four bytes could be a chunk's id: printable ASCII. Moves nothing. */
  private static boolean isId(ByteBuffer bytes) {
    for (int i = 0; i < 4; i++) {
      byte b = bytes.get(bytes.position() + i);
      if (b < 0x20 || b > 0x7E) {
        return false;
      }
    }
    return true;
  }
}
