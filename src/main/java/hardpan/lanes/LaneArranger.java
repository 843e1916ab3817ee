package hardpan.lanes;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Puts lanes into files. What has no place on the clock gets files by clip in every layout. */
final class LaneArranger {
  /**
   * On the reference's clock the parts of a camera that runs fast overlap a little. So much of the
   * earlier one is left out; what overlaps by more goes into a file beside.
   */
  private static final double MOST_TRIMMED_SECONDS = 0.25;

  private final Arrangement arrangement;
  private final int referenceRateHz;
  private final LaneNames names;

  LaneArranger(Arrangement arrangement, int referenceRateHz, LaneNames names) {
    this.arrangement = arrangement;
    this.referenceRateHz = referenceRateHz;
    this.names = names;
  }

  /** The files, in the order of their first lanes. */
  List<PlannedFile> files(List<Lane> lanes) {
    Frame frame = arrangement.layout() == Layout.CLIP ? null : Frame.around(lanes);
    Map<String, List<Lane>> groups = new LinkedHashMap<>();
    for (int i = 0; i < lanes.size(); i++) {
      groups.computeIfAbsent(group(lanes.get(i), i), key -> new ArrayList<>()).add(lanes.get(i));
    }
    List<PlannedFile> files = new ArrayList<>();
    for (List<Lane> group : groups.values()) {
      boolean placed = group.get(0).source().isPlaced();
      if (frame == null || !placed) {
        files.add(file(group, null));
      } else if (arrangement.layout() == Layout.START) {
        files.add(file(group, frame));
      } else {
        for (List<Lane> layer : layers(oneRate(group))) {
          files.add(file(layer, frame));
        }
      }
    }
    return files;
  }

  /** Lanes of one group share files. */
  private String group(Lane lane, int number) {
    if (arrangement.layout() == Layout.DEVICE && lane.source().isPlaced()) {
      String device = lane.source().device();
      return arrangement.poly() ? device : device + "\n" + lane.name();
    }
    return arrangement.poly() ? lane.source().path() : Integer.toString(number);
  }

  /**
   * The instants that all files have in common: whole seconds, so that they are whole frames at
   * every rate.
   */
  private record Frame(long startSeconds, long endSeconds) {
    static @Nullable Frame around(List<Lane> lanes) {
      double earliest = Double.POSITIVE_INFINITY;
      double latest = Double.NEGATIVE_INFINITY;
      for (Lane lane : lanes) {
        Long start = lane.startFrameOnReference();
        if (start != null) {
          double rateHz = lane.format().rateHz();
          earliest = Math.min(earliest, start / rateHz);
          latest = Math.max(latest, (start + lane.expectedFrames()) / rateHz);
        }
      }
      return earliest > latest
          ? null
          : new Frame((long) Math.floor(earliest), (long) Math.ceil(latest));
    }
  }

  /** If their rates differ, all take the reference's. */
  private List<Lane> oneRate(List<Lane> group) {
    int rateHz = group.get(0).format().rateHz();
    if (group.stream().allMatch(lane -> lane.format().rateHz() == rateHz)) {
      return group;
    }
    List<Lane> same = new ArrayList<>();
    for (Lane lane : group) {
      same.add(
          lane.format().rateHz() == referenceRateHz
              ? lane
              : lane.resampled(
                  arrangement
                      .samples()
                      .of(LaneFormats.of(lane.source(), lane.channels(), true, referenceRateHz))));
    }
    return same;
  }

  /** Lanes of one source stay together in a file of several channels. */
  private List<List<Lane>> layers(List<Lane> group) {
    List<List<Lane>> entries = new ArrayList<>();
    for (Lane lane : group) {
      List<Lane> last = entries.isEmpty() ? List.of() : entries.get(entries.size() - 1);
      if (arrangement.poly() && !last.isEmpty() && last.get(0).isOf(lane.source())) {
        last.add(lane);
      } else {
        entries.add(new ArrayList<>(List.of(lane)));
      }
    }
    entries.sort(Comparator.comparingLong(entry -> start(entry.get(0))));
    List<Layer> layers = new ArrayList<>();
    for (List<Lane> entry : entries) {
      Layer free = null;
      for (Layer layer : layers) {
        free = free == null && layer.takes(entry.get(0)) ? layer : free;
      }
      if (free == null) {
        free = new Layer();
        layers.add(free);
      }
      free.add(entry);
    }
    return layers.stream().map(layer -> layer.lanes).toList();
  }

  private static long start(Lane lane) {
    Long start = lane.startFrameOnReference();
    return start == null ? 0 : start;
  }

  /** Lanes one after the other. */
  private static final class Layer {
    private final List<Lane> lanes = new ArrayList<>();
    private final List<Lane> last = new ArrayList<>();
    private long end = Long.MIN_VALUE;

    boolean takes(Lane lane) {
      long over = end - start(lane);
      boolean shorterThanTheLast = last.isEmpty() || start(lane) > start(last.get(0));
      return over <= 0
          || (shorterThanTheLast && over < MOST_TRIMMED_SECONDS * lane.format().rateHz());
    }

    void add(List<Lane> entry) {
      long begin = start(entry.get(0));
      if (end > begin) {
        for (Lane lane : last) {
          Slot cut = new Slot(0, 0, begin - start(lane));
          lanes.set(lanes.indexOf(lane), lane.in(lane.fileName(), lane.format(), cut));
        }
      }
      last.clear();
      for (Lane lane : entry) {
        last.add(lane);
        end = Math.max(begin, begin + lane.expectedFrames());
      }
      lanes.addAll(entry);
    }
  }

  /** One file; in a frame it begins and ends with all others. */
  private PlannedFile file(List<Lane> lanes, @Nullable Frame frame) {
    Lane.Format format = LaneFormats.common(lanes);
    String name = names.next(lanes);
    Long fileStart =
        frame == null
            ? lanes.get(0).startFrameOnReference()
            : (Long) (frame.startSeconds() * format.rateHz());
    Long frameCount =
        frame == null
            ? null
            : (Long) ((frame.endSeconds() - frame.startSeconds()) * format.rateHz());
    List<List<Lane>> tracks = tracks(lanes);
    List<Lane> placed = new ArrayList<>();
    for (int channel = 0; channel < tracks.size(); channel++) {
      for (Lane lane : tracks.get(channel)) {
        long start = frame == null || fileStart == null ? 0 : start(lane) - fileStart;
        long most = lane.slot().frameLimit();
        if (frameCount != null) {
          most = Math.min(most, frameCount - start);
        }
        placed.add(lane.in(name, format, new Slot(channel, start, most)));
      }
    }
    return new PlannedFile(name, format, placed, fileStart, frameCount);
  }

  /** The channels of a file: one for each name, and for each further lane of that name at once. */
  private List<List<Lane>> tracks(List<Lane> lanes) {
    if (!arrangement.poly()) {
      return List.of(lanes);
    }
    Map<String, List<Lane>> tracks = new LinkedHashMap<>();
    for (Lane lane : lanes) {
      String key = lane.name();
      for (int number = 2; holds(tracks.get(key), lane); number++) {
        key = lane.name() + "\n" + number;
      }
      tracks.computeIfAbsent(key, name -> new ArrayList<>()).add(lane);
    }
    return List.copyOf(tracks.values());
  }

  private static boolean holds(@Nullable List<Lane> track, Lane lane) {
    return track != null && track.stream().anyMatch(other -> other.isOf(lane.source()));
  }
}
