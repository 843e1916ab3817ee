package hardpan.wave;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import hardpan.wave.WaveFormat.Coding;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How the uncompressed samples of an AIFF, Core Audio or Wave64 file are stored.
 *
 * @param format byte order apart
 * @param bigEndian byte order
 * @param signedBytes whether 8-bit samples are two's complement
 */
record PlainSoundFormat(WaveFormat format, boolean bigEndian, boolean signedBytes) {
  /** Bytes of a COMM chunk before the coding of AIFF-C. */
  private static final int AIFF_PLAIN = 18;

  private static final int AIFF_CODING_END = 22;
  private static final int CORE_AUDIO_SIZE = 32;

  /** The frames a COMM chunk states; -1 if it is too short. */
  static long aiffFrames(ByteBuffer comm) {
    return comm.limit() < AIFF_PLAIN
        ? -1
        : Integer.toUnsignedLong(comm.duplicate().order(ByteOrder.BIG_ENDIAN).getInt(2));
  }

  /**
   * The COMM chunk.
   *
   * @param coded whether it is long enough to name a coding, as AIFF-C does
   * @return null if the sound is compressed
   */
  static @Nullable PlainSoundFormat ofAiff(ByteBuffer comm, boolean coded, String name)
      throws MediaException {
    if (comm.limit() < AIFF_PLAIN) {
      throw damaged(name);
    }
    ByteBuffer in = comm.duplicate().order(ByteOrder.BIG_ENDIAN);
    int channels = in.getShort(0) & 0xFFFF;
    int bits = in.getShort(6) & 0xFFFF;
    double rate = extended(in);
    String coding =
        coded && comm.limit() >= AIFF_CODING_END ? ChunkText.id(in.position(18)) : "NONE";
    return switch (coding) {
      case "NONE", "twos" -> integer(channels, bits, rate, true, true, name);
      case "sowt" -> integer(channels, bits, rate, false, true, name);
      case "raw " -> integer(channels, bits, rate, true, false, name);
      case "in24" -> integer(channels, 24, rate, true, true, name);
      case "in32" -> integer(channels, 32, rate, true, true, name);
      case "fl32", "FL32" -> floats(channels, 32, rate, true, name);
      case "fl64", "FL64" -> floats(channels, 64, rate, true, name);
      default -> null;
    };
  }

  /** The 80-bit rate of a COMM chunk: exponent and 64-bit mantissa; 0 if it is no rate. */
  private static double extended(ByteBuffer in) {
    int exponent = (in.getShort(8) & 0xFFFF) - 16383 - 63;
    long mantissa = in.getLong(10);
    double unsigned = (mantissa >>> 1) * 2.0 + (mantissa & 1);
    return exponent < -63 || exponent > 0 ? 0 : Math.scalb(unsigned, exponent);
  }

  /**
   * The desc chunk.
   *
   * @return null if the sound is compressed
   */
  static @Nullable PlainSoundFormat ofCoreAudio(ByteBuffer desc, String name)
      throws MediaException {
    if (desc.limit() < CORE_AUDIO_SIZE) {
      throw damaged(name);
    }
    ByteBuffer in = desc.duplicate().order(ByteOrder.BIG_ENDIAN);
    double rate = in.getDouble(0);
    String coding = ChunkText.id(in.duplicate().position(8));
    int flags = in.getInt(12);
    long packetBytes = Integer.toUnsignedLong(in.getInt(16));
    long channels = Integer.toUnsignedLong(in.getInt(24));
    long bits = Integer.toUnsignedLong(in.getInt(28));
    if (!coding.equals("lpcm")) {
      return null;
    }
    if (channels < 1 || channels > WaveFormat.MAX_CHANNELS || bits < 1 || bits > 64) {
      throw damaged(name);
    }
    boolean bigEndian = (flags & 2) == 0;
    if ((flags & 1) != 0) {
      return floats((int) channels, (int) bits, rate, bigEndian, name);
    }
    // Fewer bits than the container has could lie at either end of it; that is left to others.
    return packetBytes == channels * ((bits + 7) / 8) && bits % 8 == 0
        ? integer((int) channels, (int) bits, rate, bigEndian, true, name)
        : null;
  }

  /** The fmt chunk; null if the sound is compressed. */
  static @Nullable PlainSoundFormat ofWave64(ByteBuffer fmt, String name, List<String> oddities)
      throws MediaException {
    try {
      byte[] payload = new byte[fmt.limit()];
      fmt.get(0, payload);
      return new PlainSoundFormat(FormatChunk.decode(payload, name, oddities), false, false);
    } catch (UnsupportedMediaException e) {
      return null;
    }
  }

  private static PlainSoundFormat integer(
      int channels, int bits, double rate, boolean bigEndian, boolean signed, String name)
      throws MediaException {
    if (bits < 1 || bits > 32) {
      throw damaged(name);
    }
    int container = (bits + 7) / 8 * 8;
    return of(Coding.INTEGER, channels, container, bits, rate, bigEndian, signed, name);
  }

  private static PlainSoundFormat floats(
      int channels, int bits, double rate, boolean bigEndian, String name) throws MediaException {
    if (bits != 32 && bits != 64) {
      throw damaged(name);
    }
    return of(Coding.FLOAT, channels, bits, bits, rate, bigEndian, false, name);
  }

  private static PlainSoundFormat of(
      Coding coding,
      int channels,
      int container,
      int bits,
      double rate,
      boolean bigEndian,
      boolean signed,
      String name)
      throws MediaException {
    if (channels < 1
        || channels > WaveFormat.MAX_CHANNELS
        || !(rate >= FormatChunk.MIN_RATE_HZ && rate <= FormatChunk.MAX_RATE_HZ)) {
      throw damaged(name);
    }
    return new PlainSoundFormat(
        new WaveFormat(coding, (int) Math.round(rate), channels, container, bits, 0),
        bigEndian,
        signed);
  }

  private static MalformedMediaException damaged(String name) {
    return new MalformedMediaException(
        name + " is damaged: what it says of its samples makes no sense.");
  }
}
