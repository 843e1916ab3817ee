package hardpan.wave;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import hardpan.wave.WaveFormat.Coding;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/**
 * The {@code fmt} chunk (EBU Tech 3285 v2, appendix 1; Microsoft, WAVEFORMATEXTENSIBLE).
 *
 * <p>Reading decides as follows where fields contradict each other. A block align that is a
 * multiple of the channel count and has room for the stated bits is believed, since players step by
 * it; otherwise it is computed.
 */
final class FormatChunk {
  static final int TAG_INTEGER = 0x0001;
  static final int TAG_FLOAT = 0x0003;
  static final int TAG_EXTENSIBLE = 0xFFFE;
  private static final int SHORTEST = 16;
  static final int EXTENSIBLE_SIZE = 40;

  /** No recorder writes sound outside of this. Our own bounds. */
  static final int MIN_RATE_HZ = 1000;

  static final int MAX_RATE_HZ = 3_072_000;

  /** What follows the format tag in the sub-format identifiers of Microsoft's mmreg.h. */
  private static final byte[] SUBFORMAT_TAIL = {
    0, 0, 0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71
  };

  private FormatChunk() {}

  /** The payload for a format. Plain where readers expect it, extensible where it must be. */
  static byte[] encode(WaveFormat format) {
    boolean extensible = format.needsExtensible();
    boolean isFloat = format.coding() == Coding.FLOAT;
    int tag = isFloat ? TAG_FLOAT : TAG_INTEGER;
    int size = extensible ? EXTENSIBLE_SIZE : isFloat ? 18 : SHORTEST;
    ByteBuffer out = ByteBuffer.allocate(size).order(ByteOrder.LITTLE_ENDIAN);
    out.putShort((short) (extensible ? TAG_EXTENSIBLE : tag));
    out.putShort((short) format.channelCount());
    out.putInt(format.rateHz());
    out.putInt((int) format.bytesPerSecond());
    out.putShort((short) format.bytesPerFrame());
    out.putShort((short) format.containerBits());
    if (extensible) {
      out.putShort((short) (EXTENSIBLE_SIZE - 18));
      out.putShort((short) format.validBits());
      out.putInt(format.channelMask());
      out.putShort((short) tag);
      out.put(SUBFORMAT_TAIL);
    }
    return out.array();
  }

  /** Whether a {@code fact} chunk is due: for everything but plain whole numbers (A3.1). */
  static boolean needsFact(WaveFormat format) {
    return format.needsExtensible() || format.coding() == Coding.FLOAT;
  }

  /**
   * Reads a payload.
   *
   * @param name the file's name, for sentences
   * @param oddities takes a sentence for every contradiction
   */
  static WaveFormat decode(byte[] payload, String name, List<String> oddities)
      throws MediaException {
    if (payload.length < SHORTEST) {
      throw new MalformedMediaException(
          name + " is damaged: its format chunk has " + payload.length + " bytes instead of 16.");
    }
    ByteBuffer in = ByteBuffer.wrap(payload).order(ByteOrder.LITTLE_ENDIAN);
    int tag = Short.toUnsignedInt(in.getShort());
    int channels = Short.toUnsignedInt(in.getShort());
    int rateHz = in.getInt();
    long bytesPerSecond = Integer.toUnsignedLong(in.getInt());
    int blockAlign = Short.toUnsignedInt(in.getShort());
    int bits = Short.toUnsignedInt(in.getShort());
    int validBits = bits;
    int mask = 0;
    if (tag == TAG_EXTENSIBLE) {
      if (payload.length < EXTENSIBLE_SIZE) {
        throw new MalformedMediaException(
            name + " is damaged: its extensible format chunk is cut short.");
      }
      in.position(18);
      validBits = Short.toUnsignedInt(in.getShort());
      mask = in.getInt();
      tag = subFormatTag(in, name);
    }
    if (channels == 0 && blockAlign > 0 && bits > 0) {
      channels = blockAlign / ((bits + 7) / 8);
      oddities.add("The format says 0 channels; " + channels + " follow from its frame size.");
    }
    if (bits == 0 && channels > 0 && blockAlign > 0) {
      bits = 8 * (blockAlign / channels);
      validBits = bits;
      oddities.add("The format says 0 bits a sample; " + bits + " follow from its frame size.");
    }
    if ((rateHz < MIN_RATE_HZ || rateHz > MAX_RATE_HZ) && blockAlign > 0) {
      int derived = (int) Math.min(Integer.MAX_VALUE, bytesPerSecond / blockAlign);
      if (derived >= MIN_RATE_HZ && derived <= MAX_RATE_HZ) {
        oddities.add(
            "The format says "
                + Integer.toUnsignedLong(rateHz)
                + " Hz; "
                + derived
                + " Hz follow from its bytes a second.");
        rateHz = derived;
      }
    }
    checkReadable(tag, channels, rateHz, bits, name);
    int sampleBytes = sampleBytes(tag, channels, blockAlign, bits, oddities);
    int containerBits = 8 * sampleBytes;
    if (tag == TAG_FLOAT) {
      validBits = containerBits;
    } else if (validBits == 0 || validBits > containerBits) {
      oddities.add(
          "The format says " + validBits + " valid bits in " + containerBits + "; all are used.");
      validBits = containerBits;
    }
    if (Integer.bitCount(mask) > channels) {
      oddities.add(
          String.format(
              Locale.ROOT,
              "The channel mask 0x%X names more speakers than the %d channels; it is ignored.",
              mask,
              channels));
      mask = 0;
    }
    WaveFormat format =
        new WaveFormat(
            tag == TAG_FLOAT ? Coding.FLOAT : Coding.INTEGER,
            rateHz,
            channels,
            containerBits,
            validBits,
            mask);
    if (bytesPerSecond != format.bytesPerSecond()) {
      oddities.add(
          "The format says "
              + bytesPerSecond
              + " bytes a second where "
              + format.bytesPerSecond()
              + " are right; the field is ignored.");
    }
    return format;
  }

  private static int subFormatTag(ByteBuffer in, String name) throws UnsupportedMediaException {
    int tag = Short.toUnsignedInt(in.getShort());
    byte[] tail = new byte[SUBFORMAT_TAIL.length];
    in.get(tail);
    if (!Arrays.equals(tail, SUBFORMAT_TAIL)) {
      throw new UnsupportedMediaException(
          name + " uses a sound coding that Hardpan does not know; convert it to linear samples.");
    }
    return tag;
  }

  private static void checkReadable(int tag, int channels, int rateHz, int bits, String name)
      throws MediaException {
    if (tag != TAG_INTEGER && tag != TAG_FLOAT) {
      throw new UnsupportedMediaException(
          String.format(
              Locale.ROOT,
              "%s holds %s (format tag 0x%04X); convert it to linear samples.",
              name,
              nameOfTag(tag),
              tag));
    }
    if (channels == 0 || rateHz < MIN_RATE_HZ || rateHz > MAX_RATE_HZ || bits == 0) {
      throw new MalformedMediaException(
          String.format(
              Locale.ROOT,
              "%s is damaged: its format chunk says %d channels, %d Hz, %d bits.",
              name,
              channels,
              Integer.toUnsignedLong(rateHz),
              bits));
    }
    if (channels > WaveFormat.MAX_CHANNELS) {
      throw new UnsupportedMediaException(
          name + " has " + channels + " channels; " + WaveFormat.MAX_CHANNELS + " can be read.");
    }
    boolean bitsOk = tag == TAG_FLOAT ? bits == 32 || bits == 64 : bits <= 32;
    if (!bitsOk) {
      throw new UnsupportedMediaException(
          name
              + " has "
              + bits
              + (tag == TAG_FLOAT ? "-bit floats" : "-bit whole numbers")
              + "; convert it to 24-bit or 32-bit float.");
    }
  }

  /** Only the names that practitioners meet; tags from RFC 2361. */
  private static String nameOfTag(int tag) {
    return switch (tag) {
      case 0x0002, 0x0011 -> "ADPCM compressed sound";
      case 0x0006 -> "A-law compressed sound";
      case 0x0007 -> "mu-law compressed sound";
      case 0x0050 -> "MPEG layer 1 or 2 compressed sound";
      case 0x0055 -> "MPEG layer 3 compressed sound";
      default -> "a coding that Hardpan does not read";
    };
  }

  private static int sampleBytes(
      int tag, int channels, int blockAlign, int bits, List<String> oddities) {
    int computed = (bits + 7) / 8;
    if (blockAlign == computed * channels) {
      return computed;
    }
    int stated = blockAlign % channels == 0 ? blockAlign / channels : 0;
    boolean believable = tag == TAG_INTEGER && stated > computed && stated <= 4;
    int used = believable ? stated : computed;
    oddities.add(
        "The format says "
            + blockAlign
            + " bytes a frame where "
            + computed * channels
            + " are right; read with "
            + used * channels
            + ".");
    return used;
  }
}
