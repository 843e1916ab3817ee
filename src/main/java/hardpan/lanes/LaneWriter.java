package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.media.SourceReader;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * Writes lanes as Broadcast Wave files. Sound is streamed in blocks; a lane of any length takes the
 * same memory.
 */
public final class LaneWriter {
  private static final int BLOCK_FRAMES = 1 << 14;

  private final LaneClock clock;
  private final LaneLabels labels;

  /**
   * For one hand-over.
   *
   * @param clock the shoot's clock
   * @param labels what is written into the files beside the sound
   */
  public LaneWriter(LaneClock clock, LaneLabels labels) {
    this.clock = clock;
    this.labels = labels;
  }

  /**
   * Writes one lane.
   *
   * @param lane the plan
   * @param folder where the file goes; it must not exist there yet
   * @param monitor asked for cancellation and told about progress at every block
   * @throws MediaException if the source cannot be read any more
   * @throws IOException if the file cannot be written
   */
  public WrittenLane write(Lane lane, Path folder, Monitor monitor)
      throws MediaException, IOException {
    Long startFrame = lane.startFrameOnReference();
    Long timeReference = timeReference(lane, startFrame);
    Lane.Format format = lane.format();
    WaveFormat waveFormat =
        format.isFloat()
            ? WaveFormat.float32(format.rateHz(), 1)
            : WaveFormat.integer(format.bits(), format.rateHz(), 1);
    Path file = folder.resolve(lane.fileName());
    long frames;
    long clamped;
    try (SourceReader reader = lane.source().sound().open();
        WaveFileWriter writer =
            WaveFileWriter.create(file, waveFormat, labels.metadata(lane, clock, timeReference))) {
      if (lane.resample() && startFrame != null) {
        copyResampled(lane, startFrame, reader, writer, monitor);
      } else if (lane.source().facts().sampleForm() == SampleForm.INTEGER && !format.isFloat()) {
        copyIntegers(lane, reader, writer, monitor);
      } else {
        copyFloats(lane, reader, writer, monitor);
      }
      writer.finish();
      frames = writer.framesWritten();
      clamped = writer.clampedSamples();
    }
    return new WrittenLane(lane, frames, startFrame, timeReference, Checksum.sha256(file), clamped);
  }

  private @Nullable Long timeReference(Lane lane, @Nullable Long startFrame) {
    Double offset = lane.source().offsetSeconds();
    if (offset == null || startFrame == null) {
      // Without a line-up, a recorder's own stamp is the best there is.
      return lane.source().placement() == null
          ? lane.source().facts().timeReferenceSamples()
          : null;
    }
    double seconds = lane.resample() ? (double) startFrame / lane.format().rateHz() : offset;
    return clock.samplesSinceMidnight(seconds, lane.format().rateHz());
  }

  private static void copyIntegers(
      Lane lane, SourceReader reader, WaveFileWriter writer, Monitor monitor)
      throws MediaException, IOException {
    int[][] sound = new int[reader.facts().channelCount()][BLOCK_FRAMES];
    int first = lane.channels().get(0);
    int second = lane.isDifference() ? lane.channels().get(1) : first;
    int step = lane.format().bits() == 32 ? 1 : 1 << (32 - lane.format().bits());
    long position = 0;
    int got;
    while ((got = reader.readIntegersAt(position, sound, BLOCK_FRAMES)) > 0) {
      monitor.checkCancelled();
      int[][] out = {sound[first]};
      if (lane.isDifference()) {
        int[] difference = new int[got];
        for (int i = 0; i < got; i++) {
          long half = Math.floorDiv((long) sound[first][i] - sound[second][i] + step, 2L);
          difference[i] = (int) Math.min(Integer.MAX_VALUE, half);
        }
        out[0] = difference;
      }
      writer.writeIntegers(out, got);
      position += got;
      tell(lane, position, monitor);
    }
  }

  private static void copyFloats(
      Lane lane, SourceReader reader, WaveFileWriter writer, Monitor monitor)
      throws MediaException, IOException {
    float[][] sound = new float[reader.facts().channelCount()][BLOCK_FRAMES];
    float[][] out = new float[1][BLOCK_FRAMES];
    long position = 0;
    int got;
    while ((got = reader.readAt(position, sound, BLOCK_FRAMES)) > 0) {
      monitor.checkCancelled();
      mix(lane, sound, got, out[0]);
      writer.writeFloats(out, got);
      position += got;
      tell(lane, position, monitor);
    }
  }

  private static void tell(Lane lane, long position, Monitor monitor) {
    monitor.progress("writing " + lane.name(), (double) position / lane.source().frameCount());
  }

  private static void mix(Lane lane, float[][] sound, int frameCount, float[] out) {
    float[] first = sound[lane.channels().get(0)];
    if (lane.isDifference()) {
      float[] second = sound[lane.channels().get(1)];
      for (int i = 0; i < frameCount; i++) {
        out[i] = 0.5f * (first[i] - second[i]);
      }
    } else {
      System.arraycopy(first, 0, out, 0, frameCount);
    }
  }

  private static void copyResampled(
      Lane lane, long startFrame, SourceReader reader, WaveFileWriter writer, Monitor monitor)
      throws MediaException, IOException {
    LaneSource source = lane.source();
    Double offset = source.offsetSeconds();
    if (offset == null) {
      throw new IllegalStateException("a lane without a place is never resampled");
    }
    double secondsPerSecond = 1 + source.driftPpm() * 1e-6;
    int sourceRate = source.facts().rateHz();
    int laneRate = lane.format().rateHz();
    ClockResampler resampler =
        new ClockResampler(
            (double) sourceRate / laneRate / secondsPerSecond,
            ((double) startFrame / laneRate - offset) / secondsPerSecond * sourceRate);
    float[][] sound = new float[reader.facts().channelCount()][BLOCK_FRAMES];
    float[] mixed = new float[BLOCK_FRAMES];
    long position = 0;
    int got;
    while ((got = reader.readAt(position, sound, BLOCK_FRAMES)) > 0) {
      monitor.checkCancelled();
      mix(lane, sound, got, mixed);
      emit(resampler.add(mixed, got), writer);
      position += got;
      tell(lane, position, monitor);
    }
    emit(resampler.finish(), writer);
  }

  private static void emit(float[] samples, WaveFileWriter writer) throws IOException {
    if (samples.length > 0) {
      writer.writeFloats(new float[][] {samples}, samples.length);
    }
  }
}
