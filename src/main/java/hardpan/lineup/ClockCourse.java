package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Proof.Seen;
import hardpan.media.SourceReader;
import hardpan.signal.Statistics;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Follows the clock of a long source off the straight line that was proved for it.
 *
 * <p>Many more windows are read. Each section of neighbouring ones votes for a line of its own,
 * beginning where the proved line holds best; a section counts only if its windows agree by
 * themselves and its line goes on where its neighbour's ends. Windows are then measured close to
 * their sections' lines.
 */
final class ClockCourse {
  private static final double EVERY_SECONDS = 12;
  private static final int FEWEST_WINDOWS = 60;
  private static final int MOST_WINDOWS = 90;

  /** A crystal warms up at first; where much is in common its beginning is read more closely. */
  private static final double WARM_UP_SECONDS = 1800;

  private static final int IN_SECTION = 10;
  private static final int STRIDE = IN_SECTION / 2;

  /** Of all sections so many must agree, and of all windows so many must be measured. */
  private static final double LEAST_SHARE = 0.6;

  private static final double REACH_SECONDS = Proof.AROUND_SECONDS;

  /** Between two sections the lines may part by this, and by the change of speed below. */
  private static final double LOOSE_SECONDS = 0.0006;

  private static final double STEEPEST_CHANGE = 50e-6;
  private static final double FINE_REACH_SECONDS = 0.02;

  /** A line is straight if nearly all windows are near it, by units of their noise. */
  private static final double STRAIGHT_SHARE = 0.9;

  private static final double NEAR_NOISES = 4;
  private static final double STRAIGHT_SUM = 2;

  /** Wide enough for any course, so that the line goes through all of it. */
  private static final double FIT_REACH_SECONDS = 1;

  private final Candidate source;
  private final SourceReader reader;
  private final ReferenceWindows reference;
  private final Monitor monitor;
  private final Measured measured;
  private final double windowSeconds;
  private final List<ClipWindows.Start> starts = new ArrayList<>();

  /** Delays by number of the window, the clearest if two sections saw it. */
  private final Map<Integer, LineVote.Point> points = new TreeMap<>();

  // Windows of the section looked at last and their correlations, by number.
  private final Map<Integer, ClipWindows.Window> windows = new TreeMap<>();
  private final Map<Integer, Seen> seen = new TreeMap<>();

  /**
   * For a place.
   *
   * @param reader the source, open
   * @param measured the place as the straight line that was proved has it
   */
  ClockCourse(
      Candidate source,
      SourceReader reader,
      ReferenceWindows reference,
      Monitor monitor,
      Measured measured)
      throws MediaException {
    this.source = source;
    this.reader = reader;
    this.reference = reference;
    this.monitor = monitor;
    this.measured = measured;
    double offset = measured.line().intercept();
    double from = Math.max(0, -offset);
    double to = Math.min(source.durationSeconds(), reference.durationSeconds() - offset);
    this.windowSeconds = ClipWindows.windowSeconds(to - from);
    if (to - from >= 2 * WARM_UP_SECONDS) {
      choose(from, from + WARM_UP_SECONDS);
      choose(from + WARM_UP_SECONDS, to);
    } else if (to - from >= ClockBend.LEAST_SECONDS) {
      choose(from, to);
    }
  }

  private void choose(double from, double to) throws MediaException {
    double wanted = Math.rint((to - from) / EVERY_SECONDS);
    int most = (int) Math.max(FEWEST_WINDOWS, Math.min(MOST_WINDOWS, wanted));
    List<Integer> channel = List.of(measured.proof().channel());
    starts.addAll(ClipWindows.starts(source, channel, from, to, most));
  }

  /**
   * A section's own line.
   *
   * @param first number of its first window
   * @param centre its middle in source seconds
   */
  private record Section(int first, double centre, LineVote.Line line) {}

  /** Whether the windows of a place leave a course to be looked for. */
  static boolean isWorthwhile(Candidate source, Measured measured) {
    if (source.durationSeconds() < ClockBend.LEAST_SECONDS || measured.points().size() < 3) {
      return false;
    }
    List<LineVote.Point> points = sorted(measured.points());
    double[] rest = beside(points, measured.line());
    double noise = new BendFit(seconds(points), rest).noise();
    int near = 0;
    double sum = 0;
    for (double distance : rest) {
      double size = Math.min(Math.abs(distance) / noise, NEAR_NOISES);
      near += size < NEAR_NOISES ? 1 : 0;
      sum += size * size;
    }
    int all = measured.proof().seen().getOrDefault(measured.referenceChannel(), List.of()).size();
    return near < STRAIGHT_SHARE * all || sum > STRAIGHT_SUM * points.size();
  }

  /**
   * Measures windows all along the course, and the straight line through it.
   *
   * @return null if the sections do not agree on one course
   */
  @Nullable Measured follow() throws MediaException {
    int possible = Math.max(1, (starts.size() - IN_SECTION) / STRIDE + 1);
    Section anchor = starts.size() < 2 * IN_SECTION ? null : anchor();
    if (anchor == null) {
      return null;
    }
    double shift = shift(anchor);
    measure(anchor, shift);
    int agreed = 1;
    for (int direction : new int[] {-1, 1}) {
      Section last = anchor;
      for (int first = anchor.first + direction * STRIDE;
          first >= 0 && first + IN_SECTION <= starts.size();
          first += direction * STRIDE) {
        Section next = voted(first, last.line.interceptSeconds(), last.line.slope());
        if (next != null && goesOn(last, next)) {
          measure(next, shift);
          agreed++;
          last = next;
        }
      }
    }
    if (agreed < LEAST_SHARE * possible || points.size() < LEAST_SHARE * starts.size()) {
      return null;
    }
    List<LineVote.Point> all = sorted(points.values());
    StraightLine line =
        StraightLine.fit(
            seconds(all),
            all.stream().mapToDouble(LineVote.Point::delaySeconds).toArray(),
            measured.line().intercept(),
            measured.line().slope(),
            FIT_REACH_SECONDS,
            PathMeasure.LEAST_SCATTER_SECONDS,
            0,
            PathMeasure.EXPECTED_DRIFT_DEVIATION);
    double signs = all.stream().mapToDouble(point -> Math.signum(point.height())).sum();
    return new Measured(
        measured.proof(),
        measured.referenceChannel(),
        all,
        line,
        signs < 0,
        measured.unsure(),
        measured.later());
  }

  /** The section where the proved line holds best; null if the windows of none agree. */
  private @Nullable Section anchor() throws MediaException {
    record Likely(int first, int near) {}
    List<Likely> likely = new ArrayList<>();
    StraightLine line = measured.line();
    double limit = Math.max(NEAR_NOISES * line.scatter(), LOOSE_SECONDS / 2);
    for (int first = 0; first + IN_SECTION <= starts.size(); first += STRIDE) {
      int near = 0;
      for (LineVote.Point point : measured.points()) {
        double off = Math.abs(point.delaySeconds() - line.at(point.seconds()));
        near += isInside(first, point) && off <= limit ? 1 : 0;
      }
      likely.add(new Likely(first, near));
    }
    likely.sort(Comparator.comparingInt(Likely::near).reversed());
    for (Likely one : likely) {
      Section section = one.near == 0 ? null : voted(one.first, line.intercept(), line.slope());
      if (section != null) {
        return section;
      }
    }
    return null;
  }

  private boolean isInside(int first, LineVote.Point point) {
    return point.seconds() >= middle(first) && point.seconds() <= middle(first + IN_SECTION - 1);
  }

  private static boolean goesOn(Section last, Section next) {
    double between = (last.centre + next.centre) / 2;
    double apart = Math.abs(last.line.at(between) - next.line.at(between));
    return apart <= LOOSE_SECONDS + STEEPEST_CHANGE * Math.abs(next.centre - last.centre);
  }

  /** What the windows of a section agree on near a line; null if nothing to be believed. */
  private @Nullable Section voted(int first, double intercept, double slope) throws MediaException {
    read(first);
    List<LineVote.Point> peaks = new ArrayList<>();
    double centre = 0;
    int looked = 0;
    for (int number = first; number < first + IN_SECTION; number++) {
      double middle = middle(number);
      centre += middle / IN_SECTION;
      Seen one = seen(number, intercept + slope * middle);
      if (one == null) {
        continue;
      }
      peaks.addAll(one.peaks(looked, reference.rateHz()));
      looked++;
    }
    LineVote.Line line = LineVote.vote(peaks, looked, 2 * REACH_SECONDS);
    return looked >= STRIDE && line.believable() ? new Section(first, centre, line) : null;
  }

  /** Reads a section; only its windows are kept, for they are large. */
  private void read(int first) throws MediaException {
    windows.keySet().removeIf(number -> number < first || number >= first + IN_SECTION);
    seen.keySet().retainAll(windows.keySet());
    for (int number = first; number < first + IN_SECTION; number++) {
      if (!windows.containsKey(number)) {
        List<ClipWindows.Start> start = List.of(starts.get(number));
        windows.put(
            number,
            ClipWindows.read(reader, source, start, windowSeconds, reference.rateHz(), monitor)
                .get(0));
      }
    }
  }

  /** A window's correlation, made anew only where an earlier one does not reach. */
  private @Nullable Seen seen(int number, double delay) throws MediaException {
    Seen known = seen.get(number);
    if (known != null
        && Math.abs(known.correlation().firstDelaySeconds() + REACH_SECONDS - delay)
            <= REACH_SECONDS / 2) {
      return known;
    }
    Seen made = correlated(windows.get(number), delay, REACH_SECONDS);
    if (made != null) {
      seen.put(number, made);
    }
    return made;
  }

  private @Nullable Seen correlated(ClipWindows.@Nullable Window window, double delay, double reach)
      throws MediaException {
    monitor.checkCancelled();
    return window == null
        ? null
        : reference.seen(window, delay, reach, measured.referenceChannel());
  }

  /** From what windows agree on most to the way that was found to be the direct one. */
  private double shift(Section anchor) {
    double[] shifts =
        measured.points().stream()
            .filter(point -> isInside(anchor.first, point))
            .mapToDouble(point -> point.delaySeconds() - anchor.line.at(point.seconds()))
            .toArray();
    return shifts.length == 0 ? 0 : Statistics.median(shifts);
  }

  /** Every window's delay near its section's line. */
  private void measure(Section section, double shift) throws MediaException {
    for (Map.Entry<Integer, ClipWindows.Window> entry : windows.entrySet()) {
      int number = entry.getKey();
      double delay = section.line.at(middle(number)) + shift;
      Seen one =
          correlated(entry.getValue().stretched(section.line.slope()), delay, FINE_REACH_SECONDS);
      LineVote.Point point = one == null ? null : one.near(delay, number, reference.rateHz());
      if (point != null) {
        points.merge(number, point, (a, b) -> Math.abs(b.height()) > Math.abs(a.height()) ? b : a);
      }
    }
  }

  private double middle(int number) {
    return starts.get(number).seconds() + 0.5 * windowSeconds;
  }

  private static List<LineVote.Point> sorted(Collection<LineVote.Point> points) {
    return points.stream().sorted(Comparator.comparingDouble(LineVote.Point::seconds)).toList();
  }

  private static double[] seconds(List<LineVote.Point> points) {
    return points.stream().mapToDouble(LineVote.Point::seconds).toArray();
  }

  private static double[] beside(List<LineVote.Point> points, StraightLine line) {
    return points.stream()
        .mapToDouble(point -> point.delaySeconds() - line.at(point.seconds()))
        .toArray();
  }
}
