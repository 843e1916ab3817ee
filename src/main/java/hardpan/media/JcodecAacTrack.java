package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.base.UnsupportedMediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;

/**
 * AAC-LC through the decoder that comes with JCodec. It delivers 16-bit samples, so that what lies
 * beyond full scale is clipped. A packet that does not decode becomes silence and is counted.
 */
final class JcodecAacTrack implements JcodecTrack {
  /** Frames a packet (ISO/IEC 14496-3, section 4.5.1.1). */
  static final int PACKET_FRAMES = 1024;

  /** A packet depends on the one before; two more keep the block switching in step. */
  private static final int PREROLL_PACKETS = 3;

  /** 6144 bits a channel are allowed; this leaves room for eight channels and stuffing. */
  private static final int MAX_PACKET_BYTES = 1 << 15;

  private static final int LOW_COMPLEXITY = 2;
  private static final int SPECTRAL_BAND_REPLICATION = 5;
  private static final int SYNC_EXTENSION = 0x2B7;

  private final FileChannel file;
  private final String fileName;
  private final IsoSampleTable table;
  private final IsoSoundFormat format;
  private final long declaredFrames;
  private final long availableFrames;
  private final float[][] held;
  private final BitSet failed = new BitSet();
  private JcodecAacDecoder decoder;
  private long nextPacket;
  private long heldPacket = -1;

  JcodecAacTrack(FileChannel file, String fileName, IsoMovie.Track track, int rateHz)
      throws IOException {
    this.file = file;
    this.fileName = fileName;
    this.table = track.table();
    this.format = track.format();
    checkProfile(format.audioConfig(), fileName);
    this.decoder = newDecoder();
    long packets = Math.min(table.sampleCount(), Integer.MAX_VALUE);
    long all = packets * PACKET_FRAMES;
    long declared =
        track.declaredUnits() < 0
            ? all
            : IsoEdits.rescaled(track.declaredUnits(), rateHz, track.timeScale());
    // The last packet may be declared shorter than it is; anything else is a wrong figure.
    this.declaredFrames = declared <= all && declared > all - PACKET_FRAMES ? declared : all;
    long there = packetsInFile(packets) * PACKET_FRAMES;
    this.availableFrames = Math.min(there, declaredFrames);
    this.held = new float[format.channelCount()][PACKET_FRAMES];
  }

  private static void checkProfile(ByteBuffer config, String fileName) throws MediaException {
    if (config.limit() < 2) {
      throw new UnsupportedMediaException(
          "The sound of " + fileName + " has a codec whose reading needs the FFmpeg libraries.");
    }
    int profile = IsoBoxes.unsigned8(config, 0) >>> 3;
    boolean shortFrames = (IsoBoxes.unsigned8(config, 1) & 4) != 0;
    if (profile != LOW_COMPLEXITY || shortFrames || doublesRate(config)) {
      throw new UnsupportedMediaException(
          "The sound of "
              + fileName
              + " is a kind of AAC whose reading needs the FFmpeg libraries.");
    }
  }

  /**
   * Whether the configuration announces spectral band replication behind that of the core (ISO/IEC
   * 14496-3, section 1.6.5.2): the decoder would play the core alone, at half the rate.
   */
  private static boolean doublesRate(ByteBuffer config) {
    for (int i = 2; i + 2 < config.limit(); i++) {
      int value = IsoBoxes.unsigned16(config, i);
      if (value >>> 5 == SYNC_EXTENSION && (value & 31) == SPECTRAL_BAND_REPLICATION) {
        return (IsoBoxes.unsigned8(config, i + 2) & 0x80) != 0;
      }
    }
    return false;
  }

  private JcodecAacDecoder newDecoder() throws MediaException {
    ByteBuffer config = format.audioConfig().duplicate();
    byte[] bytes = new byte[config.limit()];
    config.get(0, bytes);
    try {
      return new JcodecAacDecoder(bytes);
    } catch (IOException e) {
      throw new MalformedMediaException(
          "The sound track of " + fileName + " is damaged: its decoder cannot start.", e);
    }
  }

  private long packetsInFile(long packets) throws IOException {
    long size = file.size();
    long packet = 0;
    for (int chunk = 0; chunk < table.chunkCount(); chunk++) {
      long at = table.chunkOffset(chunk);
      for (; packet < Math.min(packets, table.firstSample(chunk + 1)); packet++) {
        long length = table.size(packet);
        if (at < 0 || at > size - length) {
          return packet;
        }
        at += length;
      }
    }
    return packet;
  }

  @Override
  public int channelCount() {
    return format.channelCount();
  }

  @Override
  public long declaredFrames() {
    return declaredFrames;
  }

  @Override
  public long availableFrames() {
    return availableFrames;
  }

  @Override
  public void readFloats(long from, float[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    for (int done = 0; done < count; ) {
      long packet = (from + done) / PACKET_FRAMES;
      int within = (int) ((from + done) % PACKET_FRAMES);
      hold(packet);
      int step = Math.min(count - done, PACKET_FRAMES - within);
      for (int c = 0; c < held.length; c++) {
        System.arraycopy(held[c], within, planar[firstChannel + c], at + done, step);
      }
      done += step;
    }
  }

  @Override
  public void readIntegers(long from, int[][] planar, int firstChannel, int at, int count) {
    throw new UnsupportedOperationException("lossy");
  }

  private void hold(long packet) throws MediaException {
    if (packet == heldPacket) {
      return;
    }
    if (packet < nextPacket || packet > nextPacket + PREROLL_PACKETS) {
      decoder = newDecoder();
      nextPacket = Math.max(0, packet - PREROLL_PACKETS);
    }
    while (nextPacket <= packet) {
      decode(nextPacket);
      heldPacket = nextPacket;
      nextPacket++;
    }
  }

  private void decode(long packet) throws MediaException {
    long size = table.size(packet);
    boolean good = size > 0 && size <= MAX_PACKET_BYTES;
    if (good) {
      byte[] bytes = load(table.offset(packet), (int) size);
      good = decoder.decode(packet, bytes, held, PACKET_FRAMES);
    }
    if (!good) {
      failed.set((int) packet);
      for (float[] channel : held) {
        Arrays.fill(channel, 0f);
      }
    }
  }

  private byte[] load(long offset, int size) throws MediaException {
    ByteBuffer bytes = ByteBuffer.allocate(size);
    try {
      while (bytes.hasRemaining()) {
        if (file.read(bytes, offset + bytes.position()) < 0) {
          throw new MediaAccessException(fileName + " became shorter while it was read.");
        }
      }
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(fileName + " cannot be read on.", e);
    }
    return bytes.array();
  }

  @Override
  public long concealedFrames() {
    return (long) failed.cardinality() * PACKET_FRAMES;
  }

  @Override
  public List<Span> missingSpans() {
    List<Span> spans = new ArrayList<>();
    int from = failed.nextSetBit(0);
    while (from >= 0) {
      int to = failed.nextClearBit(from);
      spans.add(new Span((long) from * PACKET_FRAMES, (long) to * PACKET_FRAMES));
      from = failed.nextSetBit(to);
    }
    return spans;
  }
}
