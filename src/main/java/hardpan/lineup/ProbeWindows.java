package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The windows of a source that are tried on the reference, chosen for a place and read once. */
final class ProbeWindows {
  private static final double MOSTLY_SHARE = 0.7;
  private static final double LEAST_OVERLAP_SECONDS = 2.2;

  /** A coarse place may be wrong by so much; windows keep clear of the ends by it. */
  private static final double EDGE_SECONDS = 0.1;

  /** Windows of a channel, from which on some of them may do. */
  private static final int MANY_WINDOWS = 12;

  private static final int FEW_WINDOWS = 8;

  /** Longer sources keep all their windows, so that their clock's course is seen. */
  private static final double LONGEST_SPARSE_SECONDS = 300;

  private final Candidate source;
  private final ReferenceWindows reference;
  private final Monitor monitor;

  // The windows chosen last, those of them that were read, and the stretch they come from.
  private List<ClipWindows.Start> starts = List.of();
  private final Map<Part, List<ClipWindows.Window>> windows = new EnumMap<>(Part.class);
  private double windowsFrom = -1;
  private double windowsTo = -1;

  ProbeWindows(Candidate source, ReferenceWindows reference, Monitor monitor) {
    this.source = source;
    this.reference = reference;
    this.monitor = monitor;
  }

  /** All windows; or of each channel a few, evenly spread; or the others. */
  enum Part {
    ALL,
    SOME,
    OTHERS
  }

  /** Whether there are so many windows that some of them may do. */
  boolean maySuffice() {
    return source.durationSeconds() <= LONGEST_SPARSE_SECONDS
        && starts.size() >= MANY_WINDOWS * source.channels().size();
  }

  /** Some of the chosen windows; read at the first call. */
  List<ClipWindows.Window> read(Part part) throws MediaException {
    List<ClipWindows.Window> found = windows.get(part);
    if (found == null) {
      double seconds = ClipWindows.windowSeconds(windowsTo - windowsFrom);
      found = ClipWindows.read(source, starts(part), seconds, reference.rateHz(), monitor);
      windows.put(part, found);
    }
    return found;
  }

  private List<ClipWindows.Start> starts(Part part) {
    Map<Integer, Integer> totals = new HashMap<>();
    starts.forEach(start -> totals.merge(start.channel(), 1, Integer::sum));
    Map<Integer, Integer> counts = new HashMap<>();
    List<ClipWindows.Start> some = new ArrayList<>();
    for (ClipWindows.Start start : starts) {
      int number = counts.merge(start.channel(), 1, Integer::sum);
      int total = totals.getOrDefault(start.channel(), 1);
      boolean isSome = number * FEW_WINDOWS / total > (number - 1) * FEW_WINDOWS / total;
      if (part == Part.ALL || isSome == (part == Part.SOME)) {
        some.add(start);
      }
    }
    return some;
  }

  /**
   * Chooses windows from what source and reference would have in common at a place; those of the
   * whole source serve all places where most of it is in common.
   */
  void choose(double offsetSeconds) throws MediaException {
    double length = source.durationSeconds();
    double from = Math.max(0, -offsetSeconds + EDGE_SECONDS);
    double to = Math.min(length, reference.durationSeconds() - offsetSeconds - EDGE_SECONDS);
    if (to - from >= MOSTLY_SHARE * length || to - from < LEAST_OVERLAP_SECONDS) {
      from = 0;
      to = length;
    }
    if (windowsFrom != from || windowsTo != to) {
      starts = ClipWindows.starts(source, from, to);
      windows.clear();
      windowsFrom = from;
      windowsTo = to;
    }
  }
}
