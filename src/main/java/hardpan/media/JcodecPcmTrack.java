package hardpan.media;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.Span;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.util.Arrays;
import java.util.List;

/** Uncompressed sound, read straight from where the sample table says it lies. */
final class JcodecPcmTrack implements JcodecTrack {
  private static final int BUFFER_BYTES = 1 << 16;

  /** Past any file; keeps sums of nonsense from running over. */
  private static final long MAX_FRAMES = 1L << 50;

  private final FileChannel file;
  private final String fileName;
  private final IsoSampleTable table;
  private final IsoSoundFormat.Pcm pcm;
  private final int channelCount;
  private final int frameBytes;

  /** The first frame of each chunk, and behind the last the number of all that are there. */
  private final long[] firstFrames;

  private final long declaredFrames;
  private final ByteBuffer buffer;

  JcodecPcmTrack(
      FileChannel file,
      String fileName,
      IsoSampleTable table,
      IsoSoundFormat format,
      IsoSoundFormat.Pcm pcm)
      throws IOException {
    this.file = file;
    this.fileName = fileName;
    this.table = table;
    this.pcm = pcm;
    this.channelCount = format.channelCount();
    this.frameBytes = channelCount * pcm.bytes();
    this.buffer =
        ByteBuffer.allocate(frameBytes * Math.max(1, BUFFER_BYTES / frameBytes))
            .order(pcm.bigEndian() ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN);
    long[] first = new long[table.chunkCount() + 1];
    long declared = 0;
    boolean cut = false;
    long fileSize = file.size();
    for (int chunk = 0; chunk < table.chunkCount(); chunk++) {
      long frames = framesInChunk(chunk);
      declared = Math.min(MAX_FRAMES, declared + frames);
      long offset = table.chunkOffset(chunk);
      long room = offset < 0 ? 0 : Math.max(0, fileSize - offset) / frameBytes;
      long there = cut ? 0 : Math.min(frames, room);
      cut |= there < frames;
      first[chunk + 1] = first[chunk] + there;
    }
    this.firstFrames = first;
    this.declaredFrames = declared;
  }

  /**
   * A sample of the table is one frame, whatever size old files state for it, unless its size is a
   * multiple of a frame's, as ISO/IEC 23003-5 allows.
   */
  private long framesInChunk(int chunk) {
    long samples = table.firstSample(chunk + 1) - table.firstSample(chunk);
    long size = table.constantSize();
    if (size > 0) {
      long inSample = size % frameBytes == 0 ? Math.min(size / frameBytes, 1L << 16) : 1;
      return Math.min(MAX_FRAMES, samples * inSample);
    }
    long bytes = 0;
    for (long s = 0; s < samples; s++) {
      bytes += table.size(table.firstSample(chunk) + s);
    }
    return bytes / frameBytes;
  }

  @Override
  public int channelCount() {
    return channelCount;
  }

  @Override
  public long declaredFrames() {
    return declaredFrames;
  }

  @Override
  public long availableFrames() {
    return firstFrames[firstFrames.length - 1];
  }

  @Override
  public void readFloats(long from, float[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    boolean isFloat = pcm.coding() == IsoSoundFormat.Coding.FLOAT;
    for (int done = 0; done < count; ) {
      int frames = load(from + done, count - done);
      for (int i = 0; i < frames; i++) {
        for (int c = 0; c < channelCount; c++) {
          int place = i * frameBytes + c * pcm.bytes();
          planar[firstChannel + c][at + done + i] =
              isFloat ? floatAt(place) : integerAt(place) * 0x1p-31f;
        }
      }
      done += frames;
    }
  }

  @Override
  public void readIntegers(long from, int[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    if (pcm.coding() == IsoSoundFormat.Coding.FLOAT) {
      throw new UnsupportedOperationException("floats");
    }
    for (int done = 0; done < count; ) {
      int frames = load(from + done, count - done);
      for (int i = 0; i < frames; i++) {
        for (int c = 0; c < channelCount; c++) {
          planar[firstChannel + c][at + done + i] = integerAt(i * frameBytes + c * pcm.bytes());
        }
      }
      done += frames;
    }
  }

  private float floatAt(int place) {
    return pcm.bits() == 64 ? (float) buffer.getDouble(place) : buffer.getFloat(place);
  }

  private int integerAt(int place) {
    return switch (pcm.bits()) {
      case 8 ->
          pcm.coding() == IsoSoundFormat.Coding.UNSIGNED
              ? ((buffer.get(place) & 0xFF) - 128) << 24
              : buffer.get(place) << 24;
      case 16 -> buffer.getShort(place) << 16;
      case 24 ->
          pcm.bigEndian()
              ? buffer.get(place) << 24
                  | (buffer.get(place + 1) & 0xFF) << 16
                  | (buffer.get(place + 2) & 0xFF) << 8
              : buffer.get(place + 2) << 24
                  | (buffer.get(place + 1) & 0xFF) << 16
                  | (buffer.get(place) & 0xFF) << 8;
      default -> buffer.getInt(place);
    };
  }

  /** Fills the buffer with frames of one chunk; returns how many. */
  private int load(long frame, int wanted) throws MediaException {
    int chunk = Arrays.binarySearch(firstFrames, frame);
    if (chunk < 0) {
      chunk = -chunk - 2;
    }
    // Empty chunks share their first frame with the next one.
    while (firstFrames[chunk + 1] <= frame) {
      chunk++;
    }
    long inChunk = firstFrames[chunk + 1] - frame;
    int frames = (int) Math.min(Math.min(wanted, inChunk), buffer.capacity() / frameBytes);
    long offset = table.chunkOffset(chunk) + (frame - firstFrames[chunk]) * frameBytes;
    buffer.clear().limit(frames * frameBytes);
    try {
      while (buffer.hasRemaining()) {
        if (file.read(buffer, offset + buffer.position()) < 0) {
          throw new MediaAccessException(fileName + " became shorter while it was read.");
        }
      }
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(fileName + " cannot be read on.", e);
    }
    return frames;
  }

  @Override
  public long concealedFrames() {
    return 0;
  }

  @Override
  public List<Span> missingSpans() {
    return List.of();
  }
}
