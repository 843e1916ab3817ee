package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
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
   * Writes the lanes of one source, reading it once.
   *
   * @param lanes their plans, all of the same source
   * @param folder where the files go; they must not exist there yet
   * @param monitor asked for cancellation and told about progress at every block
   * @return the lanes in the order of their plans
   * @throws MediaException if the source cannot be read any more
   * @throws IOException if a file cannot be written
   */
  public List<WrittenLane> write(List<Lane> lanes, Path folder, Monitor monitor)
      throws MediaException, IOException {
    LaneSource source = lanes.get(0).source();
    List<LaneFile> files = new ArrayList<>();
    try (SourceReader reader = source.sound().open()) {
      for (Lane lane : lanes) {
        if (!lane.source().path().equals(source.path())) {
          throw new IllegalArgumentException("lanes of different sources");
        }
        Long timeReference = timeReference(lane);
        files.add(
            LaneFile.create(
                lane, folder, labels.metadata(lane, clock, timeReference), timeReference));
      }
      if (files.stream().allMatch(LaneFile::takesIntegers)) {
        copyIntegers(source, reader, files, monitor);
      } else {
        copyFloats(source, reader, files, monitor);
      }
      for (LaneFile file : files) {
        file.finish();
      }
    } finally {
      for (LaneFile file : files) {
        file.close();
      }
    }
    List<WrittenLane> written = new ArrayList<>();
    for (LaneFile file : files) {
      written.add(file.written());
    }
    return written;
  }

  private @Nullable Long timeReference(Lane lane) {
    Double offset = lane.source().offsetSeconds();
    Long startFrame = lane.startFrameOnReference();
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
      LaneSource source, SourceReader reader, List<LaneFile> files, Monitor monitor)
      throws MediaException, IOException {
    int[][] sound = new int[reader.facts().channelCount()][BLOCK_FRAMES];
    long position = 0;
    int got;
    while ((got = reader.readIntegersAt(position, sound, BLOCK_FRAMES)) > 0) {
      monitor.checkCancelled();
      for (LaneFile file : files) {
        file.addIntegers(sound, got);
      }
      position += got;
      tell(source, position, monitor);
    }
  }

  private static void copyFloats(
      LaneSource source, SourceReader reader, List<LaneFile> files, Monitor monitor)
      throws MediaException, IOException {
    float[][] sound = new float[reader.facts().channelCount()][BLOCK_FRAMES];
    long position = 0;
    int got;
    while ((got = reader.readAt(position, sound, BLOCK_FRAMES)) > 0) {
      monitor.checkCancelled();
      for (LaneFile file : files) {
        file.addFloats(sound, got);
      }
      position += got;
      tell(source, position, monitor);
    }
  }

  private static void tell(LaneSource source, long position, Monitor monitor) {
    monitor.progress(
        "writing the lanes of " + source.path(), (double) position / source.frameCount());
  }
}
