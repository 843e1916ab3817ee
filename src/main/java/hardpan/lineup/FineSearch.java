package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.ReferenceWindows.Correlation;
import hardpan.signal.Peaks;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Proves or refuses a coarse place, and measures it to a fraction of a sample.
 *
 * <p>First, windows all along the source are correlated with every channel of the reference within
 * 0.3 s of the expected place; a line on which enough of them agree is the proof. Then the
 * correlations are stacked along that line to tell the direct path from echoes on each channel of
 * the reference; the earliest channel is the direct feed. Last, every window gives its own delay
 * close to that path, and the final line goes through those.
 */
final class FineSearch {
  private static final double SEARCH_SECONDS = 0.3;
  private static final double STACK_SECONDS = 0.06;
  private static final double LAST_SEARCH_SECONDS = 0.0015;
  private static final double SAME_FEED_SECONDS = 0.0001;
  private static final double MOSTLY_SHARE = 0.7;
  private static final double LEAST_OVERLAP_SECONDS = 2.2;

  /** A coarse place may be wrong by so much; windows keep clear of the ends by it. */
  private static final double EDGE_SECONDS = 0.1;

  private static final int PEAKS_IN_WINDOW = 4;
  private static final double LEAST_HEIGHT = 7;
  private static final double LEAST_LAST_HEIGHT = 5;
  private static final double EXPECTED_DRIFT_DEVIATION = 40e-6;
  private static final double LEAST_SCATTER_SECONDS = 2e-6;

  private final Candidate source;
  private final ReferenceWindows reference;
  private final List<Integer> referenceChannels;
  private final Monitor monitor;

  // The windows read last, and the stretch of the source they come from.
  private List<ClipWindows.Window> windows = List.of();
  private double windowsFrom = -1;
  private double windowsTo = -1;

  FineSearch(
      Candidate source,
      ReferenceWindows reference,
      List<Integer> referenceChannels,
      Monitor monitor) {
    this.source = source;
    this.reference = reference;
    this.referenceChannels = referenceChannels;
    this.monitor = monitor;
  }

  /** Proof of a place: which channels agree, and on which line. */
  record Proof(
      int channel, int referenceChannel, LineVote.Line line, List<ClipWindows.Window> windows) {
    double strength() {
      return line.heightSum() * line.share();
    }
  }

  /**
   * A measured place.
   *
   * @param points every window's delay
   * @param line the line through them
   * @param inverted whether most windows agree upside down
   */
  record Measured(
      Proof proof,
      int referenceChannel,
      List<LineVote.Point> points,
      StraightLine line,
      boolean inverted) {}

  /** Tries a place; null if the windows do not agree. */
  @Nullable Proof prove(double offsetSeconds) throws MediaException {
    record Pair(int channel, int referenceChannel) {}
    Map<Pair, List<LineVote.Point>> points = new HashMap<>();
    Map<Integer, Integer> windowCount = new HashMap<>();
    readWindows(offsetSeconds);
    for (ClipWindows.Window window : windows) {
      monitor.checkCancelled();
      Map<Integer, Correlation> all =
          reference.correlate(window, offsetSeconds, SEARCH_SECONDS, referenceChannels);
      if (all.isEmpty()) {
        continue;
      }
      int number = windowCount.merge(window.channel(), 1, Integer::sum) - 1;
      for (Map.Entry<Integer, Correlation> entry : all.entrySet()) {
        List<LineVote.Point> list =
            points.computeIfAbsent(
                new Pair(window.channel(), entry.getKey()), key -> new ArrayList<>());
        addPeaks(window, number, entry.getValue(), list);
      }
    }
    Proof best = null;
    for (Map.Entry<Pair, List<LineVote.Point>> entry : points.entrySet()) {
      Pair pair = entry.getKey();
      int count = windowCount.getOrDefault(pair.channel, 0);
      LineVote.Line line = LineVote.vote(entry.getValue(), count, 2 * SEARCH_SECONDS);
      if (line.believable()) {
        Proof proof = new Proof(pair.channel, pair.referenceChannel, line, windows);
        if (best == null || proof.strength() > best.strength()) {
          best = proof;
        }
      }
    }
    return best;
  }

  /**
   * Reads windows from what source and reference would have in common at a place; those of the
   * whole source serve all places where most of it is in common.
   */
  private void readWindows(double offsetSeconds) throws MediaException {
    double length = source.durationSeconds();
    double from = Math.max(0, -offsetSeconds + EDGE_SECONDS);
    double to = Math.min(length, reference.durationSeconds() - offsetSeconds - EDGE_SECONDS);
    if (to - from >= MOSTLY_SHARE * length || to - from < LEAST_OVERLAP_SECONDS) {
      from = 0;
      to = length;
    }
    if (windowsFrom != from || windowsTo != to) {
      windows = ClipWindows.read(source, from, to, reference.rateHz(), monitor);
      windowsFrom = from;
      windowsTo = to;
    }
  }

  private void addPeaks(
      ClipWindows.Window window, int number, Correlation correlation, List<LineVote.Point> points) {
    int distance = reference.rateHz() / 2000;
    for (Peaks.Peak peak :
        Peaks.strongest(correlation.values(), PEAKS_IN_WINDOW, LEAST_HEIGHT, 0.5, distance)) {
      double delay = correlation.firstDelaySeconds() + peak.lag() / reference.rateHz();
      points.add(new LineVote.Point(number, middle(window), delay, peak.height()));
    }
  }

  private double middle(ClipWindows.Window window) {
    return window.startSeconds() + 0.5 * window.samples().length / reference.rateHz();
  }

  /** Measures a proven place; null if the last look does not confirm it. */
  @Nullable Measured measure(Proof proof) throws MediaException {
    Map<Integer, DirectPath.Found> paths = directPaths(proof);
    int half = (int) Math.ceil(STACK_SECONDS * reference.rateHz());
    int direct = -1;
    double earliest = Double.POSITIVE_INFINITY;
    Measured first = null;
    for (Map.Entry<Integer, DirectPath.Found> entry : paths.entrySet()) {
      DirectPath.Found found = entry.getValue();
      if (!found.significant()) {
        continue;
      }
      double seconds = (found.lag() - half) / reference.rateHz();
      DirectPath.Found chosen = paths.get(direct);
      boolean stronger =
          chosen != null
              && Math.abs(seconds - earliest) <= SAME_FEED_SECONDS
              && Math.abs(found.height()) > Math.abs(chosen.height());
      if (seconds < earliest - SAME_FEED_SECONDS || stronger) {
        Measured check = lastLook(proof, entry.getKey(), seconds, 0);
        if (check != null) {
          direct = entry.getKey();
          earliest = seconds;
          first = check;
        }
      }
    }
    if (first == null) {
      return null;
    }
    // On the reference's clock a window gives the delay of its middle; before, of its loudest part.
    Measured second = lastLook(proof, direct, earliest, first.line().slope());
    return second == null ? first : second;
  }

  /** Stacks the correlations along the proven line, for each channel of the reference. */
  private Map<Integer, DirectPath.Found> directPaths(Proof proof) throws MediaException {
    Map<Integer, float[]> stacks = new HashMap<>();
    for (ClipWindows.Window window : proof.windows()) {
      if (window.channel() != proof.channel()) {
        continue;
      }
      monitor.checkCancelled();
      double delay = proof.line().at(middle(window));
      Map<Integer, Correlation> all =
          reference.correlate(window, delay, STACK_SECONDS, referenceChannels);
      for (Map.Entry<Integer, Correlation> entry : all.entrySet()) {
        float[] values = entry.getValue().values();
        double unit = Peaks.scatter(values);
        if (unit > 0) {
          float[] stack = stacks.computeIfAbsent(entry.getKey(), key -> new float[values.length]);
          for (int i = 0; i < stack.length; i++) {
            stack[i] += (float) (values[i] / unit);
          }
        }
      }
    }
    Map<Integer, DirectPath.Found> found = new TreeMap<>();
    for (Map.Entry<Integer, float[]> entry : stacks.entrySet()) {
      found.put(entry.getKey(), DirectPath.find(entry.getValue(), reference.rateHz()));
    }
    return found;
  }

  /** Each window's delay near one path on one reference channel, and the line through them. */
  private @Nullable Measured lastLook(
      Proof proof, int referenceChannel, double extraSeconds, double slope) throws MediaException {
    List<LineVote.Point> points = new ArrayList<>();
    int number = 0;
    int looked = 0;
    double signs = 0;
    for (ClipWindows.Window window : proof.windows()) {
      if (window.channel() != proof.channel()) {
        continue;
      }
      double delay = proof.line().at(middle(window)) + extraSeconds;
      Correlation correlation =
          reference
              .correlate(window.stretched(slope), delay, STACK_SECONDS, List.of(referenceChannel))
              .get(referenceChannel);
      if (correlation == null) {
        continue;
      }
      looked++;
      LineVote.Point point = nearest(window, number, correlation, delay);
      if (point != null) {
        points.add(point);
        signs += Math.signum(point.height());
        number++;
      }
    }
    if (points.size() < 3 || points.size() < 0.4 * looked) {
      return null;
    }
    double[] x = points.stream().mapToDouble(LineVote.Point::seconds).toArray();
    double[] y = points.stream().mapToDouble(LineVote.Point::delaySeconds).toArray();
    StraightLine line =
        StraightLine.fit(
            x,
            y,
            proof.line().interceptSeconds() + extraSeconds,
            proof.line().slope(),
            2 * LAST_SEARCH_SECONDS,
            LEAST_SCATTER_SECONDS,
            0,
            EXPECTED_DRIFT_DEVIATION);
    if (line.pointsUsed() < 3 || line.pointsUsed() < 0.4 * looked) {
      return null;
    }
    return new Measured(proof, referenceChannel, points, line, signs < 0);
  }

  private LineVote.@Nullable Point nearest(
      ClipWindows.Window window, int number, Correlation correlation, double delay) {
    float[] values = correlation.values();
    int rate = reference.rateHz();
    int centre = (int) Math.round((delay - correlation.firstDelaySeconds()) * rate);
    int reach = (int) Math.ceil(LAST_SEARCH_SECONDS * rate);
    int best = Math.max(0, Math.min(values.length - 1, centre));
    for (int i = Math.max(0, centre - reach);
        i <= Math.min(values.length - 1, centre + reach);
        i++) {
      if (Math.abs(values[i]) > Math.abs(values[best])) {
        best = i;
      }
    }
    double unit = Peaks.scatter(values);
    if (unit <= 0 || Math.abs(values[best]) < LEAST_LAST_HEIGHT * unit) {
      return null;
    }
    double lag = Peaks.refine(values, best);
    return new LineVote.Point(
        number, middle(window), correlation.firstDelaySeconds() + lag / rate, values[best] / unit);
  }

  /** Length of sound the source and the reference have in common at a place. */
  double overlapSeconds(double offsetSeconds, double referenceSeconds) {
    double from = Math.max(0, offsetSeconds);
    double to = Math.min(referenceSeconds, offsetSeconds + source.durationSeconds());
    return Math.max(0, to - from);
  }
}
