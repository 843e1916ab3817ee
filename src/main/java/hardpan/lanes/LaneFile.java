package hardpan.lanes;

import hardpan.base.Monitor;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.wave.BextLoudness;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import hardpan.wave.WrittenBytes;
import java.io.IOException;
import java.nio.file.FileSystemException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A file while its sources' sound streams by, one source after the other: begin a source, add its
 * blocks, end it. What lies between the sources is silence.
 */
final class LaneFile implements AutoCloseable {
  private static final int SILENT_FRAMES = 1 << 14;

  /** From there on rounding is below what any source holds, and needs no dither. */
  private static final int LEAST_EXACT_BITS = 24;

  private final PlannedFile plan;
  private final Path file;
  private final @Nullable Long timeReference;
  private final WaveFileWriter writer;
  private final @Nullable BroadcastExtension bext;
  private final List<LaneLoudness> loudness = new ArrayList<>();
  private final List<WrittenLane> pieces = new ArrayList<>();

  /** The lanes of the source that streams by, each at its channel. */
  private final @Nullable Lane[] current;

  private final @Nullable ClockResampler[] resamplers;
  private final @Nullable Dither[] dithers;
  private final float[][] floats;
  private final int[][] integers;
  private float[] silence = new float[0];
  private long room;
  private long pieceStart;
  private long clampedBefore;

  private LaneFile(
      PlannedFile plan,
      Path file,
      @Nullable Long timeReference,
      WaveFileWriter writer,
      @Nullable BroadcastExtension bext,
      boolean measured) {
    this.plan = plan;
    this.file = file;
    this.timeReference = timeReference;
    this.writer = writer;
    this.bext = bext;
    int channels = plan.channelCount();
    this.current = new Lane[channels];
    this.resamplers = new ClockResampler[channels];
    this.dithers = new Dither[channels];
    this.floats = new float[channels][0];
    this.integers = new int[channels][0];
    for (int channel = 0; measured && channel < channels; channel++) {
      loudness.add(new LaneLoudness(plan.format(), channels == 1));
    }
  }

  /**
   * Begins the file; it must not exist yet.
   *
   * @param timeReference samples since midnight of its first frame, null if it has no place
   * @param measured whether its loudness is measured
   */
  static LaneFile create(
      PlannedFile plan,
      Path folder,
      WaveMetadata metadata,
      @Nullable Long timeReference,
      boolean measured)
      throws IOException {
    Lane.Format format = plan.format();
    int channels = plan.channelCount();
    WaveFormat waveFormat =
        format.isFloat()
            ? WaveFormat.float32(format.rateHz(), channels)
            : WaveFormat.integer(format.bits(), format.rateHz(), channels);
    Path file = folder.resolve(plan.name());
    WaveFileWriter writer = WaveFileWriter.create(file, waveFormat, metadata);
    return new LaneFile(plan, file, timeReference, writer, metadata.bext(), measured);
  }

  /** Goes to where the source's sound begins. Sources come in the order of time. */
  void begin(LaneSource source, Monitor monitor) throws IOException {
    long start = 0;
    long most = 0;
    for (Lane lane : plan.lanes()) {
      if (lane.isOf(source)) {
        int channel = lane.slot().channel();
        current[channel] = lane;
        resamplers[channel] = lane.resample() ? new ClockResampler(lane.positions()) : null;
        if (dithers[channel] == null && losesBits(lane)) {
          dithers[channel] = new Dither(plan.format().bits(), channel);
        }
        start = lane.slot().startFrame();
        most = lane.slot().frameLimit();
      }
    }
    silenceUpTo(start, monitor);
    room = most;
    pieceStart = writer.framesWritten();
    clampedBefore = writer.clampedSamples();
  }

  /** Whether whole-number samples of the current source can go in as they are. */
  boolean takesIntegers() {
    for (Lane lane : current) {
      if (lane != null && (!isWholeNumbers(lane) || losesBits(lane))) {
        return false;
      }
    }
    return !plan.format().isFloat();
  }

  private static boolean isWholeNumbers(Lane lane) {
    return !lane.resample() && lane.source().facts().sampleForm() == SampleForm.INTEGER;
  }

  /** Whether a person wants fewer bits than its sound has. */
  private boolean losesBits(Lane lane) {
    Lane.Format format = plan.format();
    if (format.isFloat() || format.bits() >= LEAST_EXACT_BITS) {
      return false;
    }
    Integer bits = lane.source().facts().bitsPerSample();
    return !isWholeNumbers(lane) || bits == null || bits > format.bits();
  }

  /** Adds whole-number samples of all the source's channels. */
  void addIntegers(int[][] sound, int frameCount) throws IOException {
    int count = (int) Math.min(room, frameCount);
    if (count == 0) {
      return;
    }
    int[][] out = new int[current.length][];
    for (int channel = 0; channel < current.length; channel++) {
      Lane lane = current[channel];
      if (lane == null) {
        if (integers[channel].length < count) {
          integers[channel] = new int[count];
        }
        out[channel] = integers[channel];
      } else {
        int[] first = sound[lane.channels().get(0)];
        out[channel] =
            lane.isDifference()
                ? halfDifference(first, sound[lane.channels().get(1)], count)
                : first;
      }
      if (!loudness.isEmpty()) {
        loudness.get(channel).add(out[channel], count);
      }
    }
    writer.writeIntegers(out, count);
    room -= count;
  }

  /** Half of (first - second), rounded to the file's word length. */
  private int[] halfDifference(int[] first, int[] second, int frameCount) {
    int bits = plan.format().bits();
    int step = bits == 32 ? 1 : 1 << (32 - bits);
    int[] difference = new int[frameCount];
    for (int i = 0; i < frameCount; i++) {
      long half = Math.floorDiv((long) first[i] - second[i] + step, 2L);
      difference[i] = (int) Math.min(Integer.MAX_VALUE, half);
    }
    return difference;
  }

  /** Adds float samples of all the source's channels. */
  void addFloats(float[][] sound, int frameCount) throws IOException {
    float[] @Nullable [] out = new float[current.length][];
    int count = 0;
    for (int channel = 0; channel < current.length; channel++) {
      Lane lane = current[channel];
      if (lane != null) {
        float[] mixed = mixed(lane, sound, channel, frameCount);
        ClockResampler resampler = resamplers[channel];
        float[] samples = resampler == null ? mixed : resampler.add(mixed, frameCount);
        count = resampler == null ? frameCount : samples.length;
        out[channel] = dithered(channel, samples, count);
      }
    }
    emit(out, count);
  }

  private float[] dithered(int channel, float[] samples, int count) {
    Dither dither = dithers[channel];
    return dither == null ? samples : dither.add(samples, count);
  }

  private float[] mixed(Lane lane, float[][] sound, int channel, int frameCount) {
    float[] first = sound[lane.channels().get(0)];
    if (!lane.isDifference()) {
      return first;
    }
    float[] second = sound[lane.channels().get(1)];
    if (floats[channel].length < frameCount) {
      floats[channel] = new float[frameCount];
    }
    for (int i = 0; i < frameCount; i++) {
      floats[channel][i] = 0.5f * (first[i] - second[i]);
    }
    return floats[channel];
  }

  /** Writes what there is room for; a channel without sound is silent. */
  private void emit(float[] @Nullable [] sound, int frameCount) throws IOException {
    int count = (int) Math.min(room, frameCount);
    if (count == 0) {
      return;
    }
    float[][] out = new float[sound.length][];
    for (int channel = 0; channel < out.length; channel++) {
      float[] samples = sound[channel];
      out[channel] = samples == null ? silence(count) : samples;
      if (!loudness.isEmpty()) {
        loudness.get(channel).add(out[channel], count);
      }
    }
    writer.writeFloats(out, count);
    room -= count;
  }

  private float[] silence(int count) {
    if (silence.length < count) {
      silence = new float[count];
    }
    return silence;
  }

  /** Writes what of the source was still held back, and notes what was written of its lanes. */
  void end() throws IOException {
    float[] @Nullable [] rest = new float[current.length][];
    int count = 0;
    for (int channel = 0; channel < current.length; channel++) {
      ClockResampler resampler = resamplers[channel];
      if (resampler != null) {
        float[] samples = resampler.finish();
        count = samples.length;
        rest[channel] = dithered(channel, samples, count);
      }
    }
    emit(rest, count);
    long frames = writer.framesWritten() - pieceStart;
    for (int channel = 0; channel < current.length; channel++) {
      Lane lane = current[channel];
      if (lane != null) {
        pieces.add(
            new WrittenLane(
                lane,
                frames,
                lane.startFrameOnReference(),
                timeReference == null ? null : timeReference + lane.slot().startFrame(),
                0,
                "",
                writer.clampedSamples() - clampedBefore,
                0));
      }
      current[channel] = null;
      resamplers[channel] = null;
    }
  }

  private void silenceUpTo(long frame, Monitor monitor) throws IOException {
    while (writer.framesWritten() < frame) {
      monitor.checkCancelled();
      int count = (int) Math.min(SILENT_FRAMES, frame - writer.framesWritten());
      room = count;
      emit(new float[current.length][], count);
    }
  }

  /** Finishes the file and has it forced to the disk. */
  void finish(Monitor monitor) throws IOException {
    Long frameCount = plan.frameCount();
    if (frameCount != null) {
      silenceUpTo(frameCount, monitor);
    }
    if (bext == null || loudness.isEmpty()) {
      writer.finish();
      return;
    }
    BextLoudness alone = loudness.get(0).result();
    Double peak = null;
    for (LaneLoudness channel : loudness) {
      Double own = channel.result().maxTruePeakDbtp();
      peak = peak == null || (own != null && own > peak) ? own : peak;
    }
    writer.finish(
        bext.withLoudness(
            new BextLoudness(
                alone.integratedLufs(),
                alone.rangeLu(),
                peak,
                alone.maxMomentaryLufs(),
                alone.maxShortTermLufs())));
  }

  /**
   * The lanes as they lie on the disk. Reads the finished file back, for its checksum and to
   * compare it with what was given to the disk; the system may answer from its memory instead of
   * the disk.
   *
   * @throws IOException if it cannot be read, or is not what was written
   */
  List<WrittenLane> written() throws IOException {
    WrittenBytes wanted = writer.written();
    String sha256 = Checksum.sha256(file, wanted::add);
    if (!wanted.matches()) {
      throw new FileSystemException(
          file.toString(), null, "the disk does not hold what was written to " + plan.name());
    }
    int leftOut = LaneMarkers.of(plan).leftOut() + writer.omittedCuePoints();
    List<WrittenLane> written = new ArrayList<>();
    for (WrittenLane piece : pieces) {
      written.add(
          new WrittenLane(
              piece.lane(),
              piece.frameCount(),
              piece.startFrameOnReference(),
              piece.timeReferenceSamples(),
              writer.framesWritten(),
              sha256,
              piece.clampedSamples(),
              written.isEmpty() ? leftOut : 0));
    }
    return written;
  }

  @Override
  public void close() throws IOException {
    writer.close();
  }
}
