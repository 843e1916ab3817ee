package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Proof.Seen;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Measures a place on a reference whose channels are the microphones of people who take turns.
 *
 * <p>Each window of the source agrees at once with the channel of the one who talks, and some
 * milliseconds later with the others, which have him by bleed. So the earliest channel need not
 * have all windows on one line; but at the direct delay nearly every window finds some channel.
 */
final class SharedPath {
  /** As far as windows lie from the line on which they vote. */
  private static final double NEAR_SECONDS = LineVote.TOLERANCE_SECONDS;

  private static final double LEAST_HEIGHT = Proof.LEAST_PEAK_HEIGHT;
  private static final double LEAST_SHARE = 0.7;

  /** A microphone's own sound and bleed agree about equally well: level and colour drop out. */
  private static final double HEIGHT_SHARE = 0.9;

  /** Microphones of people who take turns stand some metres apart at most. */
  private static final double FARTHEST_SECONDS = 0.012;

  private static final double MOST_SCATTER_SECONDS = 0.000025;

  private final ReferenceWindows reference;
  private final Monitor monitor;

  SharedPath(ReferenceWindows reference, Monitor monitor) {
    this.reference = reference;
    this.monitor = monitor;
  }

  /**
   * A window's delay and where it was found.
   *
   * @param channel channel of the reference
   */
  private record Found(ClipWindows.Window window, int channel, LineVote.Point point) {}

  /** A delay beside the proved line and the windows that some channel hears there. */
  private record Way(double extraSeconds, List<Found> found) {
    double heightSum() {
      return found.stream().mapToDouble(one -> Math.abs(one.point.height())).sum();
    }
  }

  /**
   * Measures. Of the delays that serve most windows about equally well the earliest is the direct
   * one; if that does not hold closely, no later one is taken for it.
   *
   * @param loose where the windows lie on the channel that was found best
   * @param paths the direct path on each channel of the reference, in seconds beside the proved
   *     line; no other delay is taken
   * @return null unless most windows lie on one line to a fraction of a sample
   */
  @Nullable Measured measure(Proof proof, StraightLine loose, Collection<Double> paths)
      throws MediaException {
    Map<ClipWindows.Window, Map<Integer, Seen>> windows = windows(proof);
    List<Way> ways = new ArrayList<>();
    for (double extraSeconds : paths.stream().sorted().toList()) {
      StraightLine line = line(proof.line(), extraSeconds);
      List<Found> found = new ArrayList<>();
      windows.forEach(
          (window, seen) -> {
            Found one = best(window, seen, line, NEAR_SECONDS);
            if (one != null && Math.abs(one.point.height()) >= LEAST_HEIGHT) {
              found.add(one);
            }
          });
      if (found.size() >= Math.max(3, LEAST_SHARE * windows.size())) {
        ways.add(new Way(extraSeconds, found));
      }
    }
    double highest = ways.stream().mapToDouble(Way::heightSum).max().orElse(0);
    for (Way way : ways) {
      if (way.heightSum() >= HEIGHT_SHARE * highest) {
        Measured measured = closely(proof, way, windows);
        return measured != null && isTight(measured, windows.size()) && isNear(measured, loose)
            ? measured
            : null;
      }
    }
    return null;
  }

  private static Map<ClipWindows.Window, Map<Integer, Seen>> windows(Proof proof) {
    Map<ClipWindows.Window, Map<Integer, Seen>> windows = new LinkedHashMap<>();
    proof
        .seen()
        .forEach(
            (channel, all) ->
                all.forEach(
                    seen ->
                        windows
                            .computeIfAbsent(seen.window(), window -> new TreeMap<>())
                            .put(channel, seen)));
    return windows;
  }

  private static boolean isTight(Measured measured, int windows) {
    return measured.line().scatter() <= MOST_SCATTER_SECONDS
        && measured.line().pointsUsed() >= LEAST_SHARE * windows;
  }

  private static boolean isNear(Measured measured, StraightLine loose) {
    double middle =
        measured.points().stream().mapToDouble(LineVote.Point::seconds).average().orElse(0);
    return Math.abs(measured.line().at(middle) - loose.at(middle)) <= FARTHEST_SECONDS;
  }

  private static StraightLine line(LineVote.Line line, double extraSeconds) {
    return new StraightLine(
        line.interceptSeconds() + extraSeconds, line.slope(), 0, line.windowsOnLine());
  }

  /** A window's highest agreement with any channel close to a line; null if none stands out. */
  private @Nullable Found best(
      ClipWindows.Window window, Map<Integer, Seen> channels, StraightLine line, double reach) {
    Found best = null;
    for (Map.Entry<Integer, Seen> entry : channels.entrySet()) {
      Seen seen = entry.getValue();
      double delay = line.at(seen.middleSeconds(reference.rateHz()));
      LineVote.Point point = seen.near(delay, reach, 0, reference.rateHz());
      if (point != null
          && (best == null || Math.abs(point.height()) > Math.abs(best.point.height()))) {
        best = new Found(window, entry.getKey(), point);
      }
    }
    return best;
  }

  /**
   * The line through a way's windows, each on the channel that hears it. On the reference's clock a
   * window gives the delay of its middle, so it is stretched by the line's slope once that is
   * known.
   */
  private @Nullable Measured closely(
      Proof proof, Way way, Map<ClipWindows.Window, Map<Integer, Seen>> windows)
      throws MediaException {
    StraightLine line = line(proof.line(), way.extraSeconds);
    List<Found> found = way.found;
    for (int round = 0; round < 2; round++) {
      found = stretched(found, line);
      if (found.size() < 3) {
        return null;
      }
      line =
          StraightLine.fit(
              found.stream().mapToDouble(one -> one.point.seconds()).toArray(),
              found.stream().mapToDouble(one -> one.point.delaySeconds()).toArray(),
              line.intercept(),
              line.slope(),
              2 * NEAR_SECONDS,
              PathMeasure.LEAST_SCATTER_SECONDS,
              0,
              PathMeasure.EXPECTED_DRIFT_DEVIATION);
    }
    Map<Integer, Long> counts =
        found.stream()
            .collect(Collectors.groupingBy(Found::channel, TreeMap::new, Collectors.counting()));
    int mostly =
        counts.entrySet().stream()
            .max(Map.Entry.comparingByValue())
            .map(Map.Entry::getKey)
            .orElse(proof.referenceChannel());
    // Microphones may differ in polarity: what is told is that against the channel that is named.
    double signs =
        found.stream()
            .filter(one -> one.channel == mostly)
            .mapToDouble(one -> Math.signum(one.point.height()))
            .sum();
    List<LineVote.Point> points = new ArrayList<>(found.stream().map(Found::point).toList());
    points.addAll(others(found, line, windows));
    return new Measured(proof, mostly, points, line, signs < 0, false, List.of());
  }

  private List<Found> stretched(List<Found> found, StraightLine line) throws MediaException {
    List<Found> all = new ArrayList<>();
    for (Found one : found) {
      monitor.checkCancelled();
      double delay = one.point.delaySeconds();
      Seen seen =
          reference.seen(
              one.window.stretched(line.slope()),
              delay,
              PathMeasure.LAST_STRETCH_SECONDS,
              one.channel);
      LineVote.Point point =
          seen == null ? null : seen.near(delay, NEAR_SECONDS, all.size(), reference.rateHz());
      if (point != null) {
        all.add(new Found(one.window, one.channel, point));
      }
    }
    return all;
  }

  /** Windows that no channel hears on the line, where they agree most near it: they count too. */
  private List<LineVote.Point> others(
      List<Found> found, StraightLine line, Map<ClipWindows.Window, Map<Integer, Seen>> windows) {
    Set<ClipWindows.Window> served = found.stream().map(Found::window).collect(Collectors.toSet());
    List<LineVote.Point> others = new ArrayList<>();
    windows.forEach(
        (window, seen) -> {
          Found one = served.contains(window) ? null : best(window, seen, line, FARTHEST_SECONDS);
          if (one != null) {
            others.add(one.point);
          }
        });
    return others;
  }
}
