package hardpan.wave;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Walks the chunks of AIFF and AIFF-C (Apple, Audio Interchange File Format 1.3 and the AIFF-C
 * draft of 1991), Core Audio (Apple, Core Audio Format Specification 1.0) and Wave64 files (Sony
 * Pictures Digital, Wave64 file format; layout from memory, checked against the files of the FFmpeg
 * libraries). Tolerant as {@link WaveHeaderReader} is.
 */
final class PlainSoundParser {
  private static final int MAX_CHANNELS = 256;
  private static final int MAX_DESCRIPTION = 1024;

  /** What all Wave64 identifiers after the first share at their end. */
  private static final byte[] W64_TAIL = {
    0, (byte) 0xC0, 0x4F, (byte) 0x8E, (byte) 0xDB, (byte) 0x8A
  };

  private static final byte[] W64_FIRST = {
    'r',
    'i',
    'f',
    'f',
    0x2E,
    (byte) 0x91,
    (byte) 0xCF,
    0x11,
    (byte) 0xA5,
    (byte) 0xD6,
    0x28,
    (byte) 0xDB,
    4,
    (byte) 0xC1,
    0,
    0
  };

  private static final Set<String> KNOWN =
      Set.of(
          "COMM", "SSND", "MARK", "INST", "MIDI", "AESD", "APPL", "COMT", "NAME", "AUTH", "(c) ",
          "ANNO", "FVER", "CHAN", "ID3 ", "FLLR", "SAXL", "desc", "chan", "info", "free", "data",
          "pakt", "uuid", "strg", "mark", "regn", "umid", "ovvw", "peak", "inst", "midi", "edct",
          "kuki");

  /** How the chunks of a file are laid out. */
  private enum Layout {
    /** Id, 32-bit big-endian size, padded to even. */
    AIFF(12, 8, 2),
    /** Id, 64-bit big-endian size, not padded. */
    CAF(8, 12, 1),
    /** 16-byte identifier, 64-bit little-endian size that counts its own 24 bytes, padded to 8. */
    W64(40, 24, 8);

    final int first;
    final int head;
    final int align;

    Layout(int first, int head, int align) {
      this.first = first;
      this.head = head;
      this.align = align;
    }
  }

  private final FileBytes file;
  private final String name;
  private final Layout layout;
  private final List<String> oddities = new ArrayList<>();
  private @Nullable PlainSoundFormat format;
  private @Nullable BroadcastExtension bext;
  private boolean described;
  private long dataOffset = -1;
  private long dataSize;
  private long aiffFrames = -1;

  private PlainSoundParser(FileBytes file, String name, Layout layout) {
    this.file = file;
    this.name = name;
    this.layout = layout;
  }

  /** Null if the file is of none of these kinds, or its sound is compressed. */
  static @Nullable PlainSoundHeader read(FileBytes file, String name) throws IOException {
    Layout layout = layoutOf(file);
    return layout == null ? null : new PlainSoundParser(file, name, layout).parse();
  }

  private static @Nullable Layout layoutOf(FileBytes file) throws IOException {
    if (file.size() < 16) {
      return null;
    }
    ByteBuffer head = file.at(0, 16);
    String first = ChunkText.id(head.duplicate());
    String kind = ChunkText.id(head.duplicate().position(8));
    if (first.equals("FORM") && (kind.equals("AIFF") || kind.equals("AIFC"))) {
      return Layout.AIFF;
    }
    if (first.equals("caff")) {
      return Layout.CAF;
    }
    return head.equals(ByteBuffer.wrap(W64_FIRST)) ? Layout.W64 : null;
  }

  private @Nullable PlainSoundHeader parse() throws IOException {
    checkOuterSize();
    walk();
    PlainSoundFormat found = format;
    if (described && found == null) {
      return null;
    }
    if (found == null) {
      throw new MalformedMediaException(
          name + " is damaged: the chunk that describes its samples is missing.");
    }
    if (dataOffset < 0) {
      throw new MalformedMediaException(name + " has no sound: its sound chunk is missing.");
    }
    int frameBytes = found.format().bytesPerFrame();
    long frames = dataSize / frameBytes;
    if (dataSize % frameBytes != 0) {
      oddities.add(
          "The sound ends in the middle of a frame; the last "
              + dataSize % frameBytes
              + " bytes are left.");
    }
    if (aiffFrames >= 0 && aiffFrames != frames) {
      oddities.add(
          "The file says it has " + aiffFrames + " frames of sound, but it has " + frames + ".");
    }
    return new PlainSoundHeader(
        switch (layout) {
          case AIFF -> "aiff";
          case CAF -> "caf";
          case W64 -> "w64";
        },
        found.format(),
        found.bigEndian(),
        found.signedBytes(),
        dataOffset,
        frames,
        bext,
        oddities);
  }

  /** What the file says of its own size; Core Audio files say nothing. */
  private void checkOuterSize() throws IOException {
    ByteBuffer head = file.at(0, 40 <= file.size() ? 40 : 12);
    long stated =
        switch (layout) {
          case AIFF -> 8 + Integer.toUnsignedLong(head.order(ByteOrder.BIG_ENDIAN).getInt(4));
          case CAF -> file.size();
          case W64 -> head.limit() < 40 ? file.size() : head.getLong(16);
        };
    // A pad byte, or what rounds a Wave64 file up to eight, is counted by some and not by others.
    if (Math.abs(stated - file.size()) >= 8) {
      oddities.add(
          "The file says it has "
              + Long.toUnsignedString(stated)
              + " bytes, but it has "
              + file.size()
              + ".");
    }
  }

  private void walk() throws IOException {
    long at = layout.first;
    for (int i = 0; i < WaveHeaderReader.MAX_CHUNKS && file.size() - at >= layout.head; i++) {
      ByteBuffer head = head(at);
      if (!isHead(head)) {
        break;
      }
      String id = id(head);
      long start = at + layout.head;
      long room = file.size() - start;
      long stated = statedSize(head);
      boolean sound = dataOffset < 0 && id.equals(layout == Layout.AIFF ? "SSND" : "data");
      long size = sound ? sound(start, stated) : stated;
      if (size < 0 || size > room) {
        oddities.add(
            "The chunk '" + id + "' says " + stated + " bytes, but only " + room + " are left.");
        size = room;
      }
      take(id, start, size);
      at = aligned(start + size);
    }
    if (at < file.size() && dataOffset >= 0) {
      oddities.add(
          (file.size() - at) + " bytes at the end of the file are no chunk; they are left.");
    }
  }

  private ByteBuffer head(long at) throws IOException {
    return file.at(at, layout.head)
        .order(layout == Layout.W64 ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
  }

  private boolean isHead(ByteBuffer head) {
    return FileBytes.isId(head)
        && (layout != Layout.W64 || head.slice(10, 6).equals(ByteBuffer.wrap(W64_TAIL)));
  }

  private static String id(ByteBuffer head) {
    return ChunkText.id(head.duplicate());
  }

  /** Bytes behind the head; negative where the field makes no sense. */
  private long statedSize(ByteBuffer head) {
    return switch (layout) {
      case AIFF -> Integer.toUnsignedLong(head.getInt(4));
      case CAF -> head.getLong(4);
      case W64 -> head.getLong(16) - layout.head;
    };
  }

  private long aligned(long at) {
    return (at + layout.align - 1) / layout.align * layout.align;
  }

  /** Finds out how much sound there is; returns the size of its chunk in effect. */
  private long sound(long start, long stated) throws IOException {
    int lead = layout == Layout.AIFF ? 8 : layout == Layout.CAF ? 4 : 0;
    if (file.size() - start < lead) {
      return file.size() - start;
    }
    long skip = lead;
    if (layout == Layout.AIFF) {
      long offset = Integer.toUnsignedLong(file.at(start, 4).order(ByteOrder.BIG_ENDIAN).getInt());
      skip += offset <= file.size() - start - lead ? offset : 0;
    }
    dataOffset = start + skip;
    boolean toTheEnd = layout == Layout.CAF && stated == -1;
    // A size that covers no more than the fields before the sound was never filled in.
    long bytes = stated <= skip || stated == SoundExtent.SEE_DS64 ? 0 : stated - skip;
    SoundExtent extent = SoundExtent.weigh(file, dataOffset, bytes, this::endsAt);
    dataSize = extent.size();
    // A Core Audio file may leave the length open (Core Audio Format, "Audio Data Chunk").
    if (extent.oddity() != null && !toTheEnd) {
      oddities.add(extent.oddity());
    }
    return skip + dataSize;
  }

  private boolean endsAt(long end) throws IOException {
    long at = aligned(end);
    for (int i = 0; file.size() - at >= layout.head; i++) {
      ByteBuffer head = head(at);
      if (!isHead(head)) {
        return false;
      }
      if (layout == Layout.W64 || KNOWN.contains(id(head)) || i == 64) {
        return true;
      }
      long size = statedSize(head);
      if (size < 0 || size > file.size() - at) {
        return false;
      }
      at = aligned(at + layout.head + size);
    }
    return true;
  }

  private void take(String id, long start, long size) throws IOException {
    boolean isDescription =
        switch (layout) {
          case AIFF -> id.equals("COMM");
          case CAF -> id.equals("desc");
          case W64 -> id.equals("fmt ");
        };
    if (isDescription && !described) {
      described = true;
      describe(file.at(start, (int) Math.min(size, MAX_DESCRIPTION)));
    } else if (layout == Layout.W64
        && id.equals("bext")
        && bext == null
        && size >= BroadcastExtension.FIXED_SIZE
        && size <= WaveHeaderReader.MAX_BEXT) {
      bext = BroadcastExtension.decode(file.at(start, (int) size).array());
    }
  }

  private void describe(ByteBuffer chunk) throws MediaException {
    switch (layout) {
      case AIFF -> {
        boolean compressible = chunk.limit() >= 22;
        format = PlainSoundFormat.ofAiff(chunk, compressible, name);
        aiffFrames = PlainSoundFormat.aiffFrames(chunk);
      }
      case CAF -> format = PlainSoundFormat.ofCoreAudio(chunk, name);
      case W64 -> format = PlainSoundFormat.ofWave64(chunk, name, oddities);
    }
    PlainSoundFormat found = format;
    if (found != null && found.format().channelCount() > MAX_CHANNELS) {
      format = null;
    }
  }
}
