package hardpan.lanes;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The plan of one file: lanes one after the other, side by side, or just one.
 *
 * @param name its name in the hand-over's {@code lanes} folder, unique there
 * @param format samples of the file, those of all its lanes
 * @param lanes what goes into it, in the order of time, then of the channels; at least one. Those
 *     of one source begin at the same frame
 * @param startFrameOnReference the file's first frame on the reference, counted at its own rate;
 *     null if it has no place
 * @param frameCount how long it will be; null for as long as its sound
 */
public record PlannedFile(
    String name,
    Lane.Format format,
    List<Lane> lanes,
    @Nullable Long startFrameOnReference,
    @Nullable Long frameCount) {
  /** Sorts the list. */
  public PlannedFile {
    lanes =
        lanes.stream()
            .sorted(
                Comparator.comparingLong((Lane lane) -> lane.slot().startFrame())
                    .thenComparingInt(lane -> lane.slot().channel()))
            .toList();
    if (lanes.isEmpty()) {
      throw new IllegalArgumentException("no lanes");
    }
  }

  /** A lane that has a file to itself. */
  static PlannedFile of(Lane lane) {
    return new PlannedFile(
        lane.fileName(), lane.format(), List.of(lane), lane.startFrameOnReference(), null);
  }

  /** How many channels it has. */
  public int channelCount() {
    int most = 0;
    for (Lane lane : lanes) {
      most = Math.max(most, lane.slot().channel() + 1);
    }
    return most;
  }

  /** How many frames it will have; to a frame or two where a clock is corrected. */
  public long expectedFrames() {
    if (frameCount != null) {
      return frameCount;
    }
    long most = 0;
    for (Lane lane : lanes) {
      most = Math.max(most, lane.slot().startFrame() + lane.expectedFrames());
    }
    return most;
  }

  /** What its sound comes from, in the order of time. */
  public List<LaneSource> sources() {
    List<LaneSource> sources = new ArrayList<>();
    for (Lane lane : lanes) {
      if (sources.stream().noneMatch(lane::isOf)) {
        sources.add(lane.source());
      }
    }
    return sources;
  }

  /** Its lane on a channel, the first of them in time. */
  Lane first(int channel) {
    return lanes.stream()
        .filter(lane -> lane.slot().channel() == channel)
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("channel " + channel));
  }

  /** Whether it is more than one lane from its first frame to its last. */
  boolean isComposed() {
    return frameCount != null || lanes.size() > 1;
  }
}
