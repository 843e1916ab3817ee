package hardpan.wave;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Map;
import java.util.zip.CRC32C;
import org.jspecify.annotations.Nullable;

/**
 * Writes one Wave file front to back: {@code RIFF, JUNK, fmt, fact, bext, iXML, LIST INFO, data,
 * cue, LIST adtl}, then what is passed on. The {@code JUNK} chunk keeps room for {@code ds64}, so
 * that a file that grows past 4 GiB becomes an RF64 file when it is finished (EBU Tech 3306,
 * section 3.5).
 *
 * <p>The file is not valid before {@link #finish}. Closing without finishing leaves it as it is:
 * the caller writes under a temporary name and deletes or renames. Not safe for use by several
 * threads at once.
 */
public final class WaveFileWriter implements AutoCloseable {
  /** The largest size a 32-bit field can hold; one more means: see ds64. */
  private static final long LARGEST_SIZE = 0xFFFF_FFFEL;

  private static final int BUFFER_BYTES = 1 << 18;
  private static final int JUNK_SIZE = 28;

  private final FileChannel channel;
  private final WaveFormat format;
  private final WaveMetadata metadata;
  private final byte[] bytes;
  private final int bextSize;

  /** What lies around the samples, as it is in the file. */
  private final ByteArrayOutputStream around = new ByteArrayOutputStream();

  private final CRC32C dataSum = new CRC32C();
  private byte[] front = new byte[0];
  private long factOffset = -1;
  private long bextOffset = -1;
  private long dataOffset;
  private long framesWritten;
  private long clampedSamples;
  private int omittedCuePoints;
  private boolean finished;

  private WaveFileWriter(FileChannel channel, WaveFormat format, WaveMetadata metadata) {
    this.channel = channel;
    this.format = format;
    this.metadata = metadata;
    BroadcastExtension bext = metadata.bext();
    this.bextSize = bext == null ? 0 : bext.encode().length;
    int frame = format.bytesPerFrame();
    this.bytes = new byte[frame * Math.max(1, BUFFER_BYTES / frame)];
  }

  /**
   * Creates a file and writes everything before the samples.
   *
   * @param file must not exist yet
   * @throws java.nio.file.FileAlreadyExistsException if it does
   * @throws IOException if the disk refuses
   */
  public static WaveFileWriter create(Path file, WaveFormat format, WaveMetadata metadata)
      throws IOException {
    FileChannel channel =
        FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
    try {
      WaveFileWriter writer = new WaveFileWriter(channel, format, metadata);
      writer.writeFront();
      return writer;
    } catch (IOException | RuntimeException e) {
      try {
        channel.close();
      } catch (IOException suppressed) {
        e.addSuppressed(suppressed);
      }
      throw e;
    }
  }

  private void writeFront() throws IOException {
    ByteBuffer head = ByteBuffer.allocate(12).order(ByteOrder.LITTLE_ENDIAN);
    ChunkText.putId(head, "RIFF");
    head.putInt(0);
    ChunkText.putId(head, "WAVE");
    write(head.flip());
    writeChunk("JUNK", new byte[JUNK_SIZE]);
    writeChunk("fmt ", FormatChunk.encode(format));
    if (FormatChunk.needsFact(format)) {
      factOffset = channel.position();
      writeChunk("fact", new byte[4]);
    }
    BroadcastExtension bext = metadata.bext();
    if (bext != null) {
      bextOffset = channel.position();
      writeChunk("bext", bext.encode());
    }
    String ixml = metadata.ixml();
    if (ixml != null) {
      writeChunk("iXML", ixml.getBytes(StandardCharsets.UTF_8));
    }
    if (!metadata.info().isEmpty()) {
      writeChunk("LIST", infoPayload(metadata.info()));
    }
    ByteBuffer data = ByteBuffer.allocate(8).order(ByteOrder.LITTLE_ENDIAN);
    ChunkText.putId(data, "data");
    data.putInt(0);
    write(data.flip());
    dataOffset = channel.position();
    front = around.toByteArray();
    around.reset();
  }

  private static byte[] infoPayload(Map<String, String> info) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.writeBytes("INFO".getBytes(StandardCharsets.US_ASCII));
    info.forEach(
        (id, text) ->
            out.writeBytes(
                ListEntry.encode(
                    id, (text.replace("\0", "") + "\0").getBytes(StandardCharsets.UTF_8))));
    return out.toByteArray();
  }

  /**
   * Writes a block of whole numbers.
   *
   * @param leftJustified one array a channel, samples in the top bits; what the file's container
   *     cannot hold falls away, so the caller makes sure that those bits are zero
   * @param frameCount frames to take from each array, at least 0
   * @throws IllegalStateException if the file holds floats or is finished
   */
  public void writeIntegers(int[][] leftJustified, int frameCount) throws IOException {
    checkOpen(leftJustified.length, frameCount);
    if (format.coding() == WaveFormat.Coding.FLOAT) {
      throw new IllegalStateException("the file holds floats");
    }
    for (int done = 0; done < frameCount; ) {
      int frames = Math.min(frameCount - done, bytes.length / format.bytesPerFrame());
      SampleCodec.fromIntegers(leftJustified, format, done, frames, bytes);
      writeFrames(frames);
      done += frames;
    }
  }

  /**
   * Writes a block of floats. A float file takes them as they are. A whole-number file takes them
   * rounded to the nearest step; what lies beyond full scale is clamped and counted, NaN becomes 0.
   *
   * @param planar one array a channel
   * @param frameCount frames to take from each array, at least 0
   * @throws IllegalStateException if the file is finished
   */
  public void writeFloats(float[][] planar, int frameCount) throws IOException {
    checkOpen(planar.length, frameCount);
    boolean isFloat = format.coding() == WaveFormat.Coding.FLOAT;
    for (int done = 0; done < frameCount; ) {
      int frames = Math.min(frameCount - done, bytes.length / format.bytesPerFrame());
      if (isFloat) {
        SampleCodec.fromFloats(planar, format, done, frames, bytes);
      } else {
        clampedSamples += SampleCodec.quantise(planar, format, done, frames, bytes);
      }
      writeFrames(frames);
      done += frames;
    }
  }

  private void checkOpen(int arrays, int frameCount) {
    if (finished) {
      throw new IllegalStateException("the file is finished");
    }
    if (arrays < format.channelCount() || frameCount < 0) {
      throw new IllegalArgumentException(frameCount + " frames from " + arrays + " arrays");
    }
  }

  private void writeFrames(int frames) throws IOException {
    int length = frames * format.bytesPerFrame();
    dataSum.update(bytes, 0, length);
    writeAll(ByteBuffer.wrap(bytes, 0, length));
    framesWritten += frames;
  }

  /** Leaves a hole of silence, so that sizes past 4 GiB can be tried without writing them. */
  void skipFrames(long frames) throws IOException {
    framesWritten += frames;
    channel.position(dataOffset + dataBytes());
  }

  private long dataBytes() {
    return framesWritten * format.bytesPerFrame();
  }

  /** Frames written so far. */
  public long framesWritten() {
    return framesWritten;
  }

  /** Samples that {@link #writeFloats} had to clamp to full scale. */
  public long clampedSamples() {
    return clampedSamples;
  }

  /**
   * Cue points that lie beyond what the chunk's 32-bit fields can hold (24.8 h at 48 kHz) and were
   * left out; known after {@link #finish}.
   */
  public int omittedCuePoints() {
    return omittedCuePoints;
  }

  /** Finishes with the broadcast extension given at the start. */
  public void finish() throws IOException {
    finish(metadata.bext());
  }

  /**
   * Writes the pad byte, what comes after the samples, and all sizes, then forces everything to
   * disk.
   *
   * @param bext replaces the broadcast extension, say with the measured loudness; null leaves the
   *     first one
   * @throws IllegalArgumentException if it does not have the encoded size of the first one
   */
  public void finish(@Nullable BroadcastExtension bext) throws IOException {
    checkOpen(format.channelCount(), 0);
    byte[] encoded = bext == null ? new byte[0] : bext.encode();
    if (bext != null && encoded.length != bextSize) {
      throw new IllegalArgumentException(
          encoded.length + " bytes of bext where " + bextSize + " are reserved");
    }
    finished = true;
    channel.position(dataOffset + dataBytes());
    if (dataBytes() % 2 != 0) {
      write(ByteBuffer.allocate(1));
    }
    writeCues();
    for (RawChunk chunk : metadata.others()) {
      writeChunk(chunk.id(), chunk.payload());
    }
    if (bext != null) {
      writeAt(bextOffset + 8, ByteBuffer.wrap(encoded));
    }
    writeSizes();
    channel.force(true);
  }

  private void writeCues() throws IOException {
    List<CuePoint> points = metadata.cuePoints().stream().filter(CuePoint::fits).toList();
    omittedCuePoints = metadata.cuePoints().size() - points.size();
    if (points.isEmpty()) {
      return;
    }
    writeChunk("cue ", CueChunks.encodeCue(points));
    byte[] texts = CueChunks.encodeTexts(points);
    if (texts.length > 4) {
      writeChunk("LIST", texts);
    }
  }

  private void writeSizes() throws IOException {
    long riffSize = channel.position() - 8;
    boolean large = riffSize > LARGEST_SIZE;
    ByteBuffer head = ByteBuffer.allocate(8).order(ByteOrder.LITTLE_ENDIAN);
    ChunkText.putId(head, large ? "RF64" : "RIFF");
    head.putInt(large ? -1 : (int) riffSize);
    if (large) {
      ByteBuffer sizes = ByteBuffer.allocate(8 + JUNK_SIZE).order(ByteOrder.LITTLE_ENDIAN);
      ChunkText.putId(sizes, "ds64");
      sizes.putInt(JUNK_SIZE).putLong(riffSize).putLong(dataBytes()).putLong(framesWritten);
      sizes.putInt(0);
      writeAt(12, sizes.flip());
    }
    if (factOffset >= 0) {
      writeAt(factOffset + 8, number(large ? -1 : (int) framesWritten));
    }
    writeAt(dataOffset - 4, number(large ? -1 : (int) dataBytes()));
    writeAt(0, head.flip());
  }

  private static ByteBuffer number(int value) {
    return ByteBuffer.allocate(4).order(ByteOrder.LITTLE_ENDIAN).putInt(value).flip();
  }

  private void writeChunk(String id, byte[] payload) throws IOException {
    write(ByteBuffer.wrap(ListEntry.encode(id, payload)));
  }

  /** Writes what is not samples. */
  private void write(ByteBuffer buffer) throws IOException {
    around.write(buffer.array(), buffer.arrayOffset() + buffer.position(), buffer.remaining());
    writeAll(buffer);
  }

  private void writeAll(ByteBuffer buffer) throws IOException {
    while (buffer.hasRemaining()) {
      channel.write(buffer);
    }
  }

  /** Writes over what lies before the samples. */
  private void writeAt(long offset, ByteBuffer buffer) throws IOException {
    buffer.duplicate().get(front, (int) offset, buffer.remaining());
    long at = offset;
    while (buffer.hasRemaining()) {
      at += channel.write(buffer, at);
    }
  }

  /**
   * What was written, to be compared with what the disk holds.
   *
   * @throws IllegalStateException if the file is not finished
   */
  public WrittenBytes written() {
    if (!finished) {
      throw new IllegalStateException("the file is not finished");
    }
    return new WrittenBytes(front, dataBytes(), dataSum.getValue(), around.toByteArray());
  }

  /** Closes the file, finished or not. */
  @Override
  public void close() throws IOException {
    channel.close();
  }
}
