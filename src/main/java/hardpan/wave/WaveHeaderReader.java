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

  private final FileBytes file;
  private final String name;
  private final List<ChunkPlace> chunks = new ArrayList<>();
  private final List<String> oddities = new ArrayList<>();
  private final Map<String, String> info = new LinkedHashMap<>();
  private final CueChunks cues = new CueChunks();
  private final Map<String, Long> longSizes = new HashMap<>();

  private WaveHeader.Form form = WaveHeader.Form.RIFF;
  private @Nullable Long longRiffSize;
  private @Nullable WaveFormat format;
  private @Nullable ChunkPlace data;
  private @Nullable BroadcastExtension bext;
  private @Nullable String ixml;
  private boolean hasSoundList;
  private long listBytes;

  private WaveHeaderReader(FileBytes file, String name) {
    this.file = file;
    this.name = name;
  }

  static WaveHeader read(SeekableByteChannel channel, String name) throws MediaException {
    try {
      return new WaveHeaderReader(new FileBytes(channel, name), name).parse();
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(name + " cannot be read: " + e.getMessage(), e);
    }
  }

  private WaveHeader parse() throws IOException {
    if (file.size() < 12) {
      throw new MalformedMediaException(
          name + " is no Wave file: it has only " + file.size() + " bytes.");
    }
    ByteBuffer head = file.at(0, 12);
    String outer = ChunkText.id(head);
    long riffSize = Integer.toUnsignedLong(head.getInt());
    form = formOf(outer, ChunkText.id(head));
    walk();
    if ((format == null || data == null) && !hasSoundList) {
      search();
    }
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

  /** The outer form; one of its two words may be damaged, as long as the other is right. */
  private WaveHeader.Form formOf(String outer, String inner) throws MediaException {
    if (outer.equals("RIFX")) {
      throw new UnsupportedMediaException(
          name + " is a big-endian Wave file, which Hardpan does not read.");
    }
    WaveHeader.Form found = null;
    for (WaveHeader.Form each : WaveHeader.Form.values()) {
      found = outer.equals(each.name()) ? each : found;
    }
    boolean wave = inner.equals("WAVE");
    if (found == null && !wave) {
      throw new MalformedMediaException(
          name + " is no Wave file: it does not begin with RIFF, RF64 or BW64.");
    }
    boolean otherKind = !wave && ChunkSearch.isOtherRiffKind(inner);
    if (otherKind) {
      throw new MalformedMediaException(name + " is a RIFF file, but holds no Wave sound.");
    }
    if (found == null || !wave) {
      oddities.add("The first bytes of the file, which say what it is, are damaged.");
    }
    return found == null ? WaveHeader.Form.RIFF : found;
  }

  private void walk() throws IOException {
    long at = 12;
    while (file.size() - at >= 8) {
      if (chunks.size() == MAX_CHUNKS) {
        oddities.add("The file has more than " + MAX_CHUNKS + " chunks; the rest is not read.");
        return;
      }
      ByteBuffer head = file.at(at, 8);
      String id = idOf(head);
      if (id.isEmpty()) {
        break;
      }
      head.position(4);
      long start = at + 8;
      long size = sizeInEffect(id, Integer.toUnsignedLong(head.getInt()), start);
      String listType =
          id.equals("LIST") && size >= 4 && FileBytes.isId(file.at(start, 4))
              ? ChunkText.id(file.at(start, 4))
              : "";
      ChunkPlace place = new ChunkPlace(id, listType, at, size);
      chunks.add(place);
      take(place);
      at = afterPad(id, start + size, size);
    }
    if (at < file.size()) {
      boolean afterSound = data != null && data.equals(chunks.get(chunks.size() - 1));
      oddities.add(
          (file.size() - at)
              + " bytes at the end of the file, from byte "
              + at
              + " on, are no chunk; they are left."
              + (afterSound ? " They may be sound that the recorder did not account for." : ""));
    }
  }

  /** A chunk's id, mended where one byte of the two that matter is damaged; empty for none. */
  private String idOf(ByteBuffer head) {
    String id = FileBytes.isId(head) ? ChunkText.id(head.duplicate()) : "";
    for (String needed : List.of("fmt ", "data")) {
      boolean missing = needed.equals("data") ? data == null : format == null;
      if (missing && !id.equals(needed) && ChunkSearch.resembles(head, needed)) {
        oddities.add("The name of the chunk '" + needed + "' is damaged.");
        return needed;
      }
    }
    return id;
  }

  /** Looks for the format and the sound where the way from chunk to chunk is broken. */
  private void search() throws IOException {
    long formatAt = format == null ? ChunkSearch.format(file) : 12;
    long dataAt = data == null && formatAt > 0 ? ChunkSearch.data(file, formatAt) : -1;
    if (format == null && formatAt > 0) {
      long size = Integer.toUnsignedLong(file.at(formatAt + 4, 4).getInt());
      ChunkPlace place = new ChunkPlace("fmt ", "", formatAt, size);
      chunks.add(place);
      format = FormatChunk.decode(payload(place, MAX_FMT), name, oddities);
    }
    if (data == null && dataAt > 0) {
      long declared = Integer.toUnsignedLong(file.at(dataAt + 4, 4).getInt());
      ChunkPlace place = new ChunkPlace("data", "", dataAt, dataSize(declared, dataAt + 8));
      chunks.add(place);
      data = place;
    }
    if (format != null && data != null) {
      oddities.add("The chunks before the sound are damaged; it was found by searching for it.");
    }
  }

  /** Where the next chunk begins: on an even offset, unless the writer forgot the pad byte. */
  private long afterPad(String id, long end, long size) throws IOException {
    if (size % 2 == 0) {
      return end;
    }
    boolean noneAtEnd = end == file.size();
    boolean noneBetween =
        file.size() - end >= 8
            && FileBytes.isId(file.at(end, 4))
            && !(file.size() - end >= 9 && FileBytes.isId(file.at(end + 1, 4)));
    if (noneAtEnd || noneBetween) {
      oddities.add("The pad byte after the chunk '" + id + "' is missing.");
      return end;
    }
    return end + 1;
  }

  private long sizeInEffect(String id, long declared, long start) throws IOException {
    long room = file.size() - start;
    if (id.equals("data") && data == null) {
      return dataSize(declared, start);
    }
    long size = declared;
    Long longSize = longSizes.get(id);
    if (declared == SoundExtent.SEE_DS64 && longSize != null) {
      size = longSize;
    }
    if (size < 0 || size > room) {
      oddities.add(
          "The chunk '" + id + "' says " + declared + " bytes, but only " + room + " are left.");
      return room;
    }
    return size;
  }

  private long dataSize(long declared, long start) throws IOException {
    SoundExtent extent =
        SoundExtent.of(file, start, declared, longSizes.get("data"), form != WaveHeader.Form.RIFF);
    if (extent.oddity() != null) {
      oddities.add(extent.oddity());
    }
    return extent.size();
  }

  private void checkOuterSize(long riffSize) {
    Long longSize = longRiffSize;
    long stated = riffSize == SoundExtent.SEE_DS64 && longSize != null ? longSize : riffSize;
    if (form != WaveHeader.Form.RIFF && longSize == null) {
      oddities.add("The chunk ds64 with the true sizes is missing.");
    }
    if (stated != file.size() - 8) {
      oddities.add(
          "The file says it has "
              + Long.toUnsignedString(stated)
              + " bytes after its first 8, but it has "
              + (file.size() - 8)
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
    if (place.size() > MAX_FMT) {
      // Its size is damaged; what it says may be whole.
      oddities.add("The size of the format chunk is damaged.");
      place = new ChunkPlace(place.id(), "", place.offset(), FormatChunk.EXTENSIBLE_SIZE);
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
    return file.at(place.payloadOffset(), (int) place.size()).array();
  }
}
