package hardpan.lanes;

import hardpan.media.SourceFacts.SampleForm;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import hardpan.wave.WrittenBytes;
import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** The file of one lane while its source's sound streams by. */
final class LaneFile implements AutoCloseable {
  private final Lane lane;
  private final Path file;
  private final @Nullable Long timeReference;
  private final WaveFileWriter writer;
  private final @Nullable ClockResampler resampler;
  private final @Nullable BroadcastExtension bext;
  private final LaneLoudness loudness;
  private float[] mixed = new float[0];

  private LaneFile(
      Lane lane,
      Path file,
      @Nullable Long timeReference,
      WaveFileWriter writer,
      @Nullable ClockResampler resampler,
      @Nullable BroadcastExtension bext) {
    this.lane = lane;
    this.file = file;
    this.timeReference = timeReference;
    this.writer = writer;
    this.resampler = resampler;
    this.bext = bext;
    this.loudness = new LaneLoudness(lane.format());
  }

  /** Begins the file; it must not exist yet. */
  static LaneFile create(
      Lane lane, Path folder, WaveMetadata metadata, @Nullable Long timeReference)
      throws IOException {
    Lane.Format format = lane.format();
    WaveFormat waveFormat =
        format.isFloat()
            ? WaveFormat.float32(format.rateHz(), 1)
            : WaveFormat.integer(format.bits(), format.rateHz(), 1);
    Path file = folder.resolve(lane.fileName());
    WaveFileWriter writer = WaveFileWriter.create(file, waveFormat, metadata);
    return new LaneFile(lane, file, timeReference, writer, resampler(lane), metadata.bext());
  }

  private static @Nullable ClockResampler resampler(Lane lane) {
    Long startFrame = lane.startFrameOnReference();
    Double offset = lane.source().offsetSeconds();
    if (!lane.resample() || startFrame == null || offset == null) {
      return null;
    }
    double secondsPerSecond = 1 + lane.source().driftPpm() * 1e-6;
    int sourceRate = lane.source().facts().rateHz();
    int laneRate = lane.format().rateHz();
    return new ClockResampler(
        (double) sourceRate / laneRate / secondsPerSecond,
        ((double) startFrame / laneRate - offset) / secondsPerSecond * sourceRate);
  }

  /** Whether whole-number samples can go in as they are. */
  boolean takesIntegers() {
    return resampler == null
        && !lane.format().isFloat()
        && lane.source().facts().sampleForm() == SampleForm.INTEGER;
  }

  /** Adds whole-number samples of all the source's channels. */
  void addIntegers(int[][] sound, int frameCount) throws IOException {
    int[][] out = {sound[lane.channels().get(0)]};
    if (lane.isDifference()) {
      out[0] = halfDifference(out[0], sound[lane.channels().get(1)], frameCount);
    }
    loudness.add(out[0], frameCount);
    writer.writeIntegers(out, frameCount);
  }

  /** Half of (first - second), rounded to the lane's word length. */
  private int[] halfDifference(int[] first, int[] second, int frameCount) {
    int step = lane.format().bits() == 32 ? 1 : 1 << (32 - lane.format().bits());
    int[] difference = new int[frameCount];
    for (int i = 0; i < frameCount; i++) {
      long half = Math.floorDiv((long) first[i] - second[i] + step, 2L);
      difference[i] = (int) Math.min(Integer.MAX_VALUE, half);
    }
    return difference;
  }

  /** Adds float samples of all the source's channels. */
  void addFloats(float[][] sound, int frameCount) throws IOException {
    float[] first = sound[lane.channels().get(0)];
    if (mixed.length < frameCount) {
      mixed = new float[frameCount];
    }
    if (lane.isDifference()) {
      float[] second = sound[lane.channels().get(1)];
      for (int i = 0; i < frameCount; i++) {
        mixed[i] = 0.5f * (first[i] - second[i]);
      }
    } else {
      System.arraycopy(first, 0, mixed, 0, frameCount);
    }
    if (resampler == null) {
      emit(mixed, frameCount);
    } else {
      float[] samples = resampler.add(mixed, frameCount);
      emit(samples, samples.length);
    }
  }

  private void emit(float[] samples, int count) throws IOException {
    if (count > 0) {
      loudness.add(samples, count);
      writer.writeFloats(new float[][] {samples}, count);
    }
  }

  /** Writes what is left and the loudness, and brings the file to the disk. */
  void finish() throws IOException {
    if (resampler != null) {
      float[] samples = resampler.finish();
      emit(samples, samples.length);
    }
    writer.finish(bext == null ? null : bext.withLoudness(loudness.result()));
  }

  /**
   * What was written. Reads the finished file back, for its checksum and to compare it with what
   * was given to the disk; the system may answer from its memory instead of the disk.
   *
   * @throws IOException if it cannot be read, or is not what was written
   */
  WrittenLane written() throws IOException {
    WrittenBytes wanted = writer.written();
    String sha256 = Checksum.sha256(file, wanted::add);
    if (!wanted.matches()) {
      throw new FileSystemException(
          file.toString(), null, "the disk does not hold what was written to " + lane.fileName());
    }
    return new WrittenLane(
        lane,
        writer.framesWritten(),
        lane.startFrameOnReference(),
        timeReference,
        sha256,
        writer.clampedSamples(),
        LaneMarkers.of(lane).leftOut() + writer.omittedCuePoints());
  }

  @Override
  public void close() throws IOException {
    writer.close();
  }
}
