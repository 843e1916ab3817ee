package hardpan.media;

import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/**
 * What a sound track's sample description says (ISO/IEC 14496-12, section 12.2; QuickTime File
 * Format Specification, "Sound Sample Descriptions"; ISO/IEC 23003-5 for uncompressed sound in
 * MP4).
 *
 * @param tag the four-character format
 * @param rateHz sample rate, 0 if the description does not say
 * @param channelCount 1 to 256
 * @param pcm how uncompressed samples are stored; null for anything else
 * @param audioConfig the AAC decoder's configuration (ISO/IEC 14496-3, section 1.6); empty if none
 */
record IsoSoundFormat(
    String tag, int rateHz, int channelCount, @Nullable Pcm pcm, ByteBuffer audioConfig) {
  private static final int MAX_CHANNELS = 256;
  private static final int MAX_RATE_HZ = 3_072_000;

  /** The form of an uncompressed sample. */
  enum Coding {
    UNSIGNED,
    SIGNED,
    FLOAT
  }

  /**
   * How uncompressed samples are stored.
   *
   * @param coding whole numbers or floats
   * @param bits 8, 16, 24, 32, or 64 for floats
   * @param bigEndian byte order
   */
  record Pcm(Coding coding, int bits, boolean bigEndian) {
    int bytes() {
      return bits / 8;
    }

    /** The name the FFmpeg libraries have for it. */
    String codecName() {
      String letter =
          switch (coding) {
            case UNSIGNED -> "u";
            case SIGNED -> "s";
            case FLOAT -> "f";
          };
      return "pcm_" + letter + bits + (bits == 8 ? "" : bigEndian ? "be" : "le");
    }
  }

  /**
   * Reads the first description of an {@code stsd} box.
   *
   * @return null if there is none or its numbers are out of range
   */
  static @Nullable IsoSoundFormat read(ByteBuffer stsd) {
    int stsdVersion = IsoBoxes.unsigned8(stsd, 0);
    ByteBuffer entries = stsd.duplicate();
    if (stsd.limit() < 16) {
      return null;
    }
    entries.position(8);
    var boxes = IsoBoxes.children(entries.slice());
    if (boxes.isEmpty()) {
      return null;
    }
    String tag = boxes.get(0).type();
    ByteBuffer entry = boxes.get(0).content();
    int version = IsoBoxes.unsigned16(entry, 8);
    int channels = IsoBoxes.unsigned16(entry, 16);
    int bits = IsoBoxes.unsigned16(entry, 18);
    long rate = IsoBoxes.unsigned32(entry, 24) >>> 16;
    int flags = -1;
    int childrenAt = 28;
    if (version == 1 && stsdVersion == 0) {
      childrenAt = 44;
    } else if (version == 2 && stsdVersion == 0) {
      double exactRate = Double.longBitsToDouble(IsoBoxes.number64(entry, 32));
      rate = exactRate >= 1 && exactRate <= MAX_RATE_HZ ? Math.round(exactRate) : 0;
      channels = (int) Math.min(MAX_CHANNELS + 1L, IsoBoxes.unsigned32(entry, 40));
      bits = (int) Math.min(64, IsoBoxes.unsigned32(entry, 48));
      flags = (int) IsoBoxes.unsigned32(entry, 52);
      childrenAt = 64;
    }
    if (channels < 1 || channels > MAX_CHANNELS || rate > MAX_RATE_HZ) {
      return null;
    }
    ByteBuffer rest = entry.duplicate().position(Math.min(childrenAt, entry.limit())).slice();
    return new IsoSoundFormat(
        tag, (int) rate, channels, pcm(tag, bits, flags, rest), audioConfig(rest));
  }

  private static @Nullable Pcm pcm(String tag, int bits, int flags, ByteBuffer rest) {
    Pcm pcm =
        switch (tag) {
          case "sowt" -> integer(bits, false);
          case "twos" -> integer(bits, true);
          case "raw ", "NONE" ->
              bits == 8 ? new Pcm(Coding.UNSIGNED, 8, true) : integer(bits, true);
          case "in24" -> integer(24, !littleEndian(rest));
          case "in32" -> integer(32, !littleEndian(rest));
          case "fl32" -> new Pcm(Coding.FLOAT, 32, !littleEndian(rest));
          case "fl64" -> new Pcm(Coding.FLOAT, 64, !littleEndian(rest));
          case "lpcm" -> linear(bits, flags);
          case "ipcm" -> iso(rest, Coding.SIGNED);
          case "fpcm" -> iso(rest, Coding.FLOAT);
          default -> null;
        };
    return pcm != null && valid(pcm) ? pcm : null;
  }

  private static Pcm integer(int bits, boolean bigEndian) {
    return new Pcm(Coding.SIGNED, bits, bigEndian);
  }

  private static boolean valid(Pcm pcm) {
    return pcm.coding() == Coding.FLOAT
        ? pcm.bits() == 32 || pcm.bits() == 64
        : pcm.bits() == 8 || pcm.bits() == 16 || pcm.bits() == 24 || pcm.bits() == 32;
  }

  /** The flags of a version 2 description: 1 float, 2 big-endian, 4 signed. */
  private static @Nullable Pcm linear(int bits, int flags) {
    if (flags < 0) {
      return null;
    }
    Coding coding =
        (flags & 1) != 0
            ? Coding.FLOAT
            : (flags & 4) != 0 || bits > 8 ? Coding.SIGNED : Coding.UNSIGNED;
    return new Pcm(coding, bits, (flags & 2) != 0);
  }

  private static @Nullable Pcm iso(ByteBuffer rest, Coding coding) {
    ByteBuffer config = IsoBoxes.child(rest, "pcmC");
    if (config == null || config.limit() < 6) {
      return null;
    }
    boolean little = (IsoBoxes.unsigned8(config, 4) & 1) != 0;
    return new Pcm(coding, IsoBoxes.unsigned8(config, 5), !little);
  }

  /** Whether an {@code enda} atom switches the byte order. */
  private static boolean littleEndian(ByteBuffer rest) {
    ByteBuffer wave = IsoBoxes.child(rest, "wave");
    ByteBuffer enda = IsoBoxes.child(wave == null ? rest : wave, "enda");
    return enda != null && (IsoBoxes.unsigned16(enda, 0) & 0xFF) == 1;
  }

  /** The decoder specific part of an {@code esds} box (ISO/IEC 14496-1, section 7.2.6). */
  private static ByteBuffer audioConfig(ByteBuffer rest) {
    ByteBuffer wave = IsoBoxes.child(rest, "wave");
    ByteBuffer esds = IsoBoxes.child(wave == null ? rest : wave, "esds");
    if (esds == null || esds.limit() < 4) {
      return ByteBuffer.allocate(0);
    }
    ByteBuffer in = esds.duplicate().position(4);
    while (in.remaining() >= 2) {
      int tag = in.get() & 0xFF;
      int length = 0;
      for (int i = 0; i < 4 && in.hasRemaining(); i++) {
        int part = in.get() & 0xFF;
        length = length << 7 | (part & 0x7F);
        if ((part & 0x80) == 0) {
          break;
        }
      }
      if (tag == 3) {
        int flags = IsoBoxes.unsigned8(in, in.position() + 2);
        int skip = 3 + ((flags & 0x80) != 0 ? 2 : 0) + ((flags & 0x20) != 0 ? 2 : 0);
        in.position(Math.min(in.limit(), in.position() + skip));
      } else if (tag == 4) {
        // Only 0x40 (MPEG-4) and 0x66 to 0x68 (MPEG-2) are AAC; MP3 comes this way too.
        int type = IsoBoxes.unsigned8(in, in.position());
        if (type != 0x40 && (type < 0x66 || type > 0x68)) {
          return ByteBuffer.allocate(0);
        }
        in.position(Math.min(in.limit(), in.position() + 13));
      } else if (tag == 5) {
        return in.slice(in.position(), Math.min(length, in.remaining())).asReadOnlyBuffer();
      } else {
        in.position(Math.min(in.limit(), in.position() + length));
      }
    }
    return ByteBuffer.allocate(0);
  }
}
