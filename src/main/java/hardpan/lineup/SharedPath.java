package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Proof.Seen;
import hardpan.lineup.ReferenceWindows.Correlation;
import hardpan.signal.Peaks;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * Measures a place on a reference whose channels are the microphones of people who take turns.
 *
 * <p>Each window of the source agrees at once with the channel of the one who talks, and some
 * milliseconds later with the others, which have him by bleed. So no single channel has all windows
 * on one line; but the earliest delay at which every window finds some channel is the direct one.
 */
final class SharedPath {
  private static final double NEAR_SECONDS = 0.0003;
  private static final double LEAST_HEIGHT = 7;
  private static final double LEAST_SHARE = 0.7;
  private static final double MOST_SCATTER_SECONDS = 0.00005;
  private static final double LAST_STRETCH_SECONDS = 0.02;
  private static final double LEAST_SCATTER_SECONDS = 2e-6;
  private static final double EXPECTED_DRIFT_DEVIATION = 40e-6;

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

  /**
   * Measures.
   *
   * @param paths the direct path on each channel of the reference, in seconds beside the proved
   *     line
   * @return null unless most windows lie on one line to a fraction of a sample
   */
  @Nullable Measured measure(Proof proof, Collection<Double> paths) throws MediaException {
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
    List<Double> earliestFirst = new ArrayList<>(paths);
    earliestFirst.add(0.0);
    earliestFirst.sort(Comparator.naturalOrder());
    for (double extraSeconds : earliestFirst) {
      List<Found> found = near(proof.line(), extraSeconds, windows);
      if (found.size() >= Math.max(3, LEAST_SHARE * windows.size())) {
        Measured measured = fitted(proof, extraSeconds, closely(proof.line(), found));
        boolean isTight =
            measured != null
                && measured.line().scatter() <= MOST_SCATTER_SECONDS
                && measured.line().pointsUsed() >= LEAST_SHARE * windows.size();
        return isTight ? measured : null;
      }
    }
    return null;
  }

  /** Each window's highest agreement with any channel close to a delay. */
  private List<Found> near(
      LineVote.Line line,
      double extraSeconds,
      Map<ClipWindows.Window, Map<Integer, Seen>> windows) {
    List<Found> all = new ArrayList<>();
    for (Map.Entry<ClipWindows.Window, Map<Integer, Seen>> window : windows.entrySet()) {
      Found best = null;
      for (Map.Entry<Integer, Seen> entry : window.getValue().entrySet()) {
        Seen seen = entry.getValue();
        double delay = line.at(seen.middleSeconds(reference.rateHz())) + extraSeconds;
        LineVote.Point point = seen.near(delay, all.size(), reference.rateHz());
        if (point != null
            && Math.abs(point.delaySeconds() - delay) <= NEAR_SECONDS
            && Math.abs(point.height()) >= LEAST_HEIGHT
            && (best == null || Math.abs(point.height()) > Math.abs(best.point.height()))) {
          best = new Found(window.getKey(), entry.getKey(), point);
        }
      }
      if (best != null) {
        all.add(best);
      }
    }
    return all;
  }

  /** The same on the reference's clock, where a window gives the delay of its middle. */
  private List<Found> closely(LineVote.Line line, List<Found> found) throws MediaException {
    List<Found> all = new ArrayList<>();
    for (Found one : found) {
      monitor.checkCancelled();
      ClipWindows.Window window = one.window.stretched(line.slope());
      double delay = one.point.delaySeconds();
      Correlation correlation =
          reference
              .correlate(window, delay, LAST_STRETCH_SECONDS, List.of(one.channel))
              .get(one.channel);
      double unit = correlation == null ? 0 : Peaks.scatter(correlation.values());
      LineVote.Point point =
          correlation == null || unit <= 0
              ? null
              : new Seen(window, correlation, unit).near(delay, all.size(), reference.rateHz());
      if (point != null && Math.abs(point.delaySeconds() - delay) <= NEAR_SECONDS) {
        all.add(new Found(window, one.channel, point));
      }
    }
    return all;
  }

  private static @Nullable Measured fitted(Proof proof, double extraSeconds, List<Found> found) {
    if (found.size() < 3) {
      return null;
    }
    List<LineVote.Point> points = found.stream().map(Found::point).toList();
    StraightLine line =
        StraightLine.fit(
            points.stream().mapToDouble(LineVote.Point::seconds).toArray(),
            points.stream().mapToDouble(LineVote.Point::delaySeconds).toArray(),
            proof.line().interceptSeconds() + extraSeconds,
            proof.line().slope(),
            2 * NEAR_SECONDS,
            LEAST_SCATTER_SECONDS,
            0,
            EXPECTED_DRIFT_DEVIATION);
    double signs = points.stream().mapToDouble(point -> Math.signum(point.height())).sum();
    int mostly =
        found.stream()
            .map(Found::channel)
            .collect(
                Collectors.groupingBy(Function.identity(), TreeMap::new, Collectors.counting()))
            .entrySet()
            .stream()
            .max(Map.Entry.comparingByValue())
            .map(Map.Entry::getKey)
            .orElse(proof.referenceChannel());
    return new Measured(proof, mostly, points, line, signs < 0, List.of());
  }
}
