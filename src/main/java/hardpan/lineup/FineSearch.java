package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.ReferenceWindows.Correlation;
import hardpan.signal.Fft;
import hardpan.signal.Peaks;
import hardpan.signal.Statistics;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
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

  /** Windows that scatter by more mix ways of different length. */
  private static final double FINE_SECONDS = 0.00005;

  private static final double ECHO_SECONDS = 0.001;

  private static final double LEAST_OVERLAP_SECONDS = 2.2;

  /** A coarse place may be wrong by so much; windows keep clear of the ends by it. */
  private static final double EDGE_SECONDS = 0.1;

  private static final int PEAKS_IN_WINDOW = 4;
  private static final double LEAST_HEIGHT = 7;
  private static final double LEAST_LAST_HEIGHT = 4;
  private static final double LEAST_LAST_SHARE = 0.4;
  private static final double LAST_STRETCH_SECONDS = 0.02;
  private static final double FITTING_SHARE = 0.6;
  private static final double OTHER_CHANNEL_SHARE = 0.4;
  private static final double EARLIER_SHARE = 0.35;
  private static final double SURE_LOG10 = -8;
  private static final double SURE_SHARE = 0.6;
  private static final double LOUD_QUANTILE = 0.8;
  private static final double QUIET_BELOW_LOUD_DB = 12;
  private static final int FEWEST_LOUD = 3;
  private static final double PLAIN_SHARE = 0.8;

  /** Windows of a channel, from which on some of them may do. */
  private static final int MANY_WINDOWS = 12;

  private static final int FEW_WINDOWS = 8;

  /** Longer sources keep all their windows, so that their clock's course is seen. */
  private static final double LONGEST_SPARSE_SECONDS = 300;

  private static final int RIVAL_WINDOWS = 6;
  private static final int LEAST_RIVAL_WINDOWS = 3;
  private static final double LEAST_STACK = 12;

  /** A few seconds are alike by accident more often. */
  private static final double LEAST_STACK_IF_SHORT = 15;

  static final double SHORT_SECONDS = 6;
  private static final double LEAST_STACK_SHARE = 0.4;
  private static final double EXPECTED_DRIFT_DEVIATION = 40e-6;
  private static final double LEAST_SCATTER_SECONDS = 2e-6;

  private final Candidate source;
  private final ReferenceWindows reference;
  private final List<Integer> referenceChannels;
  private final Monitor monitor;

  // The windows chosen last, those of them that were read, and the stretch they come from.
  private List<ClipWindows.Start> starts = List.of();
  private final Map<Part, List<ClipWindows.Window>> windows = new EnumMap<>(Part.class);
  private double windowsFrom = -1;
  private double windowsTo = -1;
  private double highestStack;

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

  /** All windows; or of each channel a few, evenly spread; or the others. */
  private enum Part {
    ALL,
    SOME,
    OTHERS
  }

  /**
   * A window's correlation with one channel of the reference.
   *
   * @param unit scatter of the correlation, above 0
   */
  record Seen(ClipWindows.Window window, Correlation correlation, double unit) {}

  /** A channel of the source against a channel of the reference. */
  private record Pair(int channel, int referenceChannel) {}

  /**
   * Proof of a place: which channels agree, and on which line.
   *
   * @param seen correlations of the channel's windows around the line, by channel of the reference
   * @param others what the source's other channels agree on at this place
   */
  record Proof(
      int channel,
      int referenceChannel,
      LineVote.Line line,
      Map<Integer, List<Seen>> seen,
      List<Proof> others) {
    double strength() {
      return line.heightSum() * line.share();
    }

    /** Whether no other place needs a thorough look, only one that might be as good. */
    boolean isSure() {
      return line.chanceLog10() <= SURE_LOG10 && line.share() >= SURE_SHARE;
    }

    /** Whether nearly every window agrees, so that more would not tell more. */
    boolean isPlain() {
      return isSure() && line.share() >= PLAIN_SHARE;
    }
  }

  /**
   * A measured place.
   *
   * @param points every window's delay
   * @param line the line through them
   * @param inverted whether most windows agree upside down
   * @param later other channels that hear the event later
   */
  record Measured(
      Proof proof,
      int referenceChannel,
      List<LineVote.Point> points,
      StraightLine line,
      boolean inverted,
      List<Later> later) {
    Measured with(List<Later> others) {
      return new Measured(proof, referenceChannel, points, line, inverted, others);
    }
  }

  /** The best that any place tried so far had to show without being proof; for the reason given. */
  double highestStack() {
    return highestStack;
  }

  /** Tries a place; null if the windows do not agree. */
  @Nullable Proof prove(double offsetSeconds) throws MediaException {
    chooseWindows(offsetSeconds);
    Map<Pair, List<Seen>> all = new HashMap<>();
    if (mayBeSparse()) {
      correlate(windows(Part.SOME), offsetSeconds, all);
      Proof proof = proof(all);
      if (proof != null && proof.isPlain()) {
        return proof;
      }
      correlate(windows(Part.OTHERS), offsetSeconds, all);
      all.values().forEach(seen -> seen.sort(Comparator.comparingDouble(this::start)));
    } else {
      correlate(windows(Part.ALL), offsetSeconds, all);
    }
    return proof(all);
  }

  /** Whether there are so many windows that some of them may do. */
  private boolean mayBeSparse() {
    return source.durationSeconds() <= LONGEST_SPARSE_SECONDS
        && starts.size() >= MANY_WINDOWS * source.channels().size();
  }

  /** Some of the chosen windows; read at the first call. */
  private List<ClipWindows.Window> windows(Part part) throws MediaException {
    List<ClipWindows.Window> read = windows.get(part);
    if (read == null) {
      double seconds = ClipWindows.windowSeconds(windowsTo - windowsFrom);
      read = ClipWindows.read(source, starts(part), seconds, reference.rateHz(), monitor);
      windows.put(part, read);
    }
    return read;
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

  private double start(Seen seen) {
    return seen.window().startSeconds();
  }

  private void correlate(
      List<ClipWindows.Window> some, double offsetSeconds, Map<Pair, List<Seen>> all)
      throws MediaException {
    for (ClipWindows.Window window : some) {
      monitor.checkCancelled();
      correlate(window, offsetSeconds, referenceChannels, all);
    }
  }

  /** What the windows agree on; null if nothing. */
  private @Nullable Proof proof(Map<Pair, List<Seen>> all) {
    Map<Integer, Proof> ofChannel = new TreeMap<>();
    for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
      keepBetter(ofChannel, proof(entry.getKey(), vote(entry.getValue()), all));
    }
    if (ofChannel.isEmpty()) {
      for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
        LineVote.Line line = stack(entry.getValue());
        if (line != null) {
          keepBetter(ofChannel, proof(entry.getKey(), line, all));
        }
      }
    }
    List<Proof> sorted = new ArrayList<>(ofChannel.values());
    sorted.sort(Comparator.comparingDouble(Proof::strength).reversed());
    if (sorted.isEmpty()) {
      return null;
    }
    Proof best = sorted.get(0);
    return new Proof(
        best.channel(),
        best.referenceChannel(),
        best.line(),
        best.seen(),
        List.copyOf(sorted.subList(1, sorted.size())));
  }

  private static void keepBetter(Map<Integer, Proof> ofChannel, @Nullable Proof proof) {
    if (proof != null) {
      ofChannel.merge(proof.channel(), proof, (a, b) -> b.strength() > a.strength() ? b : a);
    }
  }

  /**
   * Whether a place might be as good as a proven one: a few of the windows that proved that one are
   * tried on the same channels.
   */
  boolean mightRival(Proof proof, double offsetSeconds) throws MediaException {
    List<Seen> strongest =
        new ArrayList<>(proof.seen().getOrDefault(proof.referenceChannel(), List.of()));
    strongest.sort(
        Comparator.comparingDouble((Seen seen) -> heightOnLine(seen, proof.line())).reversed());
    Map<Pair, List<Seen>> all = new HashMap<>();
    int left = Math.min(RIVAL_WINDOWS, strongest.size());
    for (Seen seen : strongest.subList(0, left)) {
      monitor.checkCancelled();
      correlate(seen.window(), offsetSeconds, List.of(proof.referenceChannel()), all);
      left--;
      long high = all.values().stream().flatMap(List::stream).filter(this::hasPeak).count();
      if (high + left < LEAST_RIVAL_WINDOWS) {
        return false;
      }
    }
    for (List<Seen> seen : all.values()) {
      LineVote.Line line = vote(seen);
      if (line.windowsOnLine() >= LEAST_RIVAL_WINDOWS && line.share() >= 0.5) {
        return true;
      }
    }
    return false;
  }

  private boolean hasPeak(Seen seen) {
    double least = LEAST_HEIGHT * seen.unit();
    for (float value : seen.correlation().values()) {
      if (Math.abs(value) >= least) {
        return true;
      }
    }
    return false;
  }

  private double heightOnLine(Seen seen, LineVote.Line line) {
    double delay = line.at(middle(seen.window()));
    LineVote.Point point = nearest(seen.window(), 0, seen.correlation(), delay, seen.unit());
    return point == null ? 0 : Math.abs(point.height());
  }

  private void correlate(
      ClipWindows.Window window,
      double offsetSeconds,
      List<Integer> wanted,
      Map<Pair, List<Seen>> all)
      throws MediaException {
    Map<Integer, Correlation> found =
        reference.correlate(window, offsetSeconds, SEARCH_SECONDS, wanted);
    for (Map.Entry<Integer, Correlation> entry : found.entrySet()) {
      double unit = Peaks.scatter(entry.getValue().values());
      if (unit > 0) {
        all.computeIfAbsent(new Pair(window.channel(), entry.getKey()), key -> new ArrayList<>())
            .add(new Seen(window, entry.getValue(), unit));
      }
    }
  }

  private LineVote.Line vote(List<Seen> seen) {
    List<LineVote.Point> points = new ArrayList<>();
    for (int number = 0; number < seen.size(); number++) {
      addPeaks(seen.get(number), number, points);
    }
    return LineVote.vote(points, seen.size(), 2 * SEARCH_SECONDS);
  }

  /** What the windows agree on together though each alone is too weak; null if nothing. */
  private LineVote.@Nullable Line stack(List<Seen> seen) {
    List<LineStack.Entry> entries = new ArrayList<>();
    for (Seen one : seen) {
      entries.add(
          new LineStack.Entry(
              middle(one.window()),
              one.correlation().firstDelaySeconds(),
              one.correlation().values(),
              one.unit()));
    }
    LineStack.Found found = LineStack.best(entries, reference.rateHz());
    if (found == null) {
      return null;
    }
    highestStack = Math.max(highestStack, found.height());
    boolean convincing =
        found.height() >= leastStack()
            && found.windowsOnLine() >= Math.max(3, LEAST_STACK_SHARE * found.windows());
    return convincing
        ? new LineVote.Line(
            found.interceptSeconds(),
            found.slope(),
            found.windowsOnLine(),
            found.windows(),
            found.heightSum(),
            -found.height())
        : null;
  }

  private double leastStack() {
    return source.durationSeconds() < SHORT_SECONDS ? LEAST_STACK_IF_SHORT : LEAST_STACK;
  }

  private @Nullable Proof proof(Pair pair, LineVote.Line line, Map<Pair, List<Seen>> all) {
    if (!line.believable()) {
      return null;
    }
    Map<Integer, List<Seen>> around = new TreeMap<>();
    for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
      if (entry.getKey().channel == pair.channel) {
        List<Seen> cut = new ArrayList<>();
        for (Seen seen : entry.getValue()) {
          cut.add(around(seen, line));
        }
        around.put(entry.getKey().referenceChannel, cut);
      }
    }
    return new Proof(pair.channel, pair.referenceChannel, line, around, List.of());
  }

  /** The part of a correlation around a line, zeros where it does not reach. */
  private Seen around(Seen seen, LineVote.Line line) {
    int rate = reference.rateHz();
    int half = (int) Math.ceil(STACK_SECONDS * rate);
    Correlation all = seen.correlation();
    double delay = line.at(middle(seen.window()));
    int first = (int) Math.round((delay - all.firstDelaySeconds()) * rate) - half;
    float[] values = new float[2 * half + 1];
    int from = Math.max(0, first);
    int to = Math.min(all.values().length, first + values.length);
    if (from < to) {
      System.arraycopy(all.values(), from, values, from - first, to - from);
    }
    Correlation cut =
        new Correlation(all.firstDelaySeconds() + (double) first / rate, values, all.referenceDb());
    return new Seen(seen.window(), cut, seen.unit());
  }

  /**
   * Chooses windows from what source and reference would have in common at a place; those of the
   * whole source serve all places where most of it is in common.
   */
  private void chooseWindows(double offsetSeconds) throws MediaException {
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

  private void addPeaks(Seen seen, int number, List<LineVote.Point> points) {
    int distance = reference.rateHz() / 2000;
    Correlation correlation = seen.correlation();
    for (Peaks.Peak peak :
        Peaks.strongest(
            correlation.values(), seen.unit(), PEAKS_IN_WINDOW, LEAST_HEIGHT, 0.5, distance)) {
      double delay = correlation.firstDelaySeconds() + peak.lag() / reference.rateHz();
      points.add(new LineVote.Point(number, middle(seen.window()), delay, peak.height()));
    }
  }

  private double middle(ClipWindows.Window window) {
    return window.startSeconds() + 0.5 * window.samples().length / reference.rateHz();
  }

  /**
   * Measures a proven place; null if the last look does not confirm it.
   *
   * <p>The source's channel that hears the event first decides: another one may hear only by bleed.
   */
  @Nullable Measured measure(Proof proof) throws MediaException {
    Measured best = measureChannel(proof);
    List<Measured> all = new ArrayList<>();
    if (best != null) {
      all.add(best);
    }
    for (Proof other : proof.others()) {
      if (other.strength() < OTHER_CHANNEL_SHARE * proof.strength()) {
        continue;
      }
      Measured measured = measureChannel(other);
      boolean sound =
          measured != null
              && measured.line().pointsUsed() >= MOSTLY_SHARE * measured.points().size()
              && (best == null
                  || measured.line().scatter()
                      <= Math.max(FINE_SECONDS, 3 * best.line().scatter()));
      if (best == null || (sound && hearsEarlier(measured, best))) {
        best = measured;
      }
      if (measured != null && sound) {
        all.add(measured);
      }
    }
    return best == null ? null : best.with(laterThan(best, all));
  }

  /**
   * What the source's other channels and those of the reference hear later than the chosen ones.
   */
  private List<Later> laterThan(Measured best, List<Measured> all) {
    List<Later> later = new ArrayList<>();
    double middle = source.durationSeconds() / 2;
    for (Measured other : all) {
      // Only where the windows say so by themselves, as above.
      double seconds = best.line().at(middle) - other.line().at(middle);
      double asWindowsSay = best.proof().line().at(middle) - other.proof().line().at(middle);
      boolean isOther = other.proof().channel() != best.proof().channel();
      if (isOther && Math.abs(seconds - asWindowsSay) <= ECHO_SECONDS) {
        later.add(new Later(false, other.proof().channel(), seconds));
      }
    }
    later.addAll(best.later());
    return later;
  }

  /**
   * Whether one channel of the source hears the event before another. By more than a millisecond
   * the windows must say so by themselves: the choice among echoes may differ between two channels
   * that hear the same.
   */
  private boolean hearsEarlier(@Nullable Measured one, Measured other) {
    if (one == null) {
      return false;
    }
    double middle = source.durationSeconds() / 2;
    double earlier = one.line().at(middle) - other.line().at(middle);
    double asWindowsSay = one.proof().line().at(middle) - other.proof().line().at(middle);
    if (earlier <= SAME_FEED_SECONDS / 2) {
      return false;
    }
    // The other may have gone to a channel of the reference that hears directly what it has by
    // bleed, though its own windows say the same as this one's.
    double unmoved = one.line().at(middle) - other.proof().line().at(middle);
    boolean wentAside =
        other.referenceChannel() != other.proof().referenceChannel()
            && Math.abs(unmoved) <= ECHO_SECONDS
            && Math.abs(asWindowsSay) <= ECHO_SECONDS;
    return wentAside || earlier <= ECHO_SECONDS || asWindowsSay >= earlier - ECHO_SECONDS;
  }

  private @Nullable Measured measureChannel(Proof proof) throws MediaException {
    Map<Integer, DirectPath.Found> paths = directPaths(proof);
    int half = (int) Math.ceil(STACK_SECONDS * reference.rateHz());
    // A neighbour's channel may hear by its own voice what the clip has by bleed: it agrees
    // earlier,
    // but far less than the clip's own feed does.
    double least =
        EARLIER_SHARE
            * paths.values().stream().mapToDouble(path -> Math.abs(path.height())).max().orElse(0);
    int direct = -1;
    double earliest = Double.POSITIVE_INFINITY;
    Measured first = null;
    for (Map.Entry<Integer, DirectPath.Found> entry : paths.entrySet()) {
      DirectPath.Found found = entry.getValue();
      if (!found.significant() || Math.abs(found.height()) < least) {
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
    if (first == null && proof.isSure()) {
      // So much echo that no way stands out; the windows agree nevertheless.
      direct = proof.referenceChannel();
      earliest = 0;
      first = lastLook(proof, direct, earliest, 0);
    }
    if (first == null) {
      return null;
    }
    // On the reference's clock a window gives the delay of its middle; before, of its loudest part.
    Measured second = lastLook(proof, direct, earliest, first.line().slope());
    List<Later> later = new ArrayList<>();
    for (Map.Entry<Integer, DirectPath.Found> entry : paths.entrySet()) {
      DirectPath.Found found = entry.getValue();
      if (entry.getKey() != direct && found.significant() && Math.abs(found.height()) >= least) {
        double seconds = (found.lag() - half) / reference.rateHz();
        Measured check = lastLook(proof, entry.getKey(), seconds, 0);
        if (check != null && check.line().scatter() <= FINE_SECONDS) {
          later.add(new Later(true, entry.getKey(), seconds - earliest));
        }
      }
    }
    return (second == null ? first : second).with(later);
  }

  /** Stacks the correlations along the proven line, for each channel of the reference. */
  private Map<Integer, DirectPath.Found> directPaths(Proof proof) {
    Map<Integer, DirectPath.Found> found = new TreeMap<>();
    for (Map.Entry<Integer, List<Seen>> entry : proof.seen().entrySet()) {
      float[] stack = new float[0];
      for (Seen seen : ownSound(entry.getValue())) {
        float[] values = seen.correlation().values();
        if (stack.length == 0) {
          stack = new float[values.length];
        }
        for (int i = 0; i < stack.length; i++) {
          stack[i] += (float) (values[i] / seen.unit());
        }
      }
      found.put(entry.getKey(), DirectPath.find(stack, reference.rateHz()));
    }
    return found;
  }

  /**
   * Windows in which a channel of the reference is about as loud as it gets. In the others it may
   * hear by bleed what a neighbour hears directly, which would look like a way of its own.
   */
  private static List<Seen> ownSound(List<Seen> all) {
    double[] levels = all.stream().mapToDouble(seen -> seen.correlation().referenceDb()).toArray();
    double least = Statistics.quantile(levels, LOUD_QUANTILE) - QUIET_BELOW_LOUD_DB;
    List<Seen> loud =
        all.stream().filter(seen -> seen.correlation().referenceDb() >= least).toList();
    return loud.size() < FEWEST_LOUD ? all : loud;
  }

  /** Each window's delay near one path on one reference channel, and the line through them. */
  private @Nullable Measured lastLook(
      Proof proof, int referenceChannel, double extraSeconds, double slope) throws MediaException {
    List<LineVote.Point> points = new ArrayList<>();
    int number = 0;
    double signs = 0;
    List<Seen> all = proof.seen().getOrDefault(referenceChannel, List.of());
    for (Seen seen : all) {
      monitor.checkCancelled();
      ClipWindows.Window window = seen.window();
      double delay = proof.line().at(middle(window)) + extraSeconds;
      Correlation correlation = seen.correlation();
      double unit = seen.unit();
      if (slope != 0) {
        correlation =
            reference
                .correlate(
                    (proof.isPlain() ? fitting(window) : window).stretched(slope),
                    delay,
                    LAST_STRETCH_SECONDS,
                    List.of(referenceChannel))
                .get(referenceChannel);
        unit = correlation == null ? 0 : Peaks.scatter(correlation.values());
      }
      LineVote.Point point =
          correlation == null ? null : nearest(window, number, correlation, delay, unit);
      if (point != null) {
        points.add(point);
        signs += Math.signum(point.height());
        number++;
      }
    }
    if (points.size() < 3 || points.size() < LEAST_LAST_SHARE * all.size()) {
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
    if (line.pointsUsed() < 3 || line.pointsUsed() < LEAST_LAST_SHARE * all.size()) {
      return null;
    }
    return new Measured(proof, referenceChannel, points, line, signs < 0, List.of());
  }

  /** The middle of a window, as long as the next smaller transform takes, if that is most of it. */
  private ClipWindows.Window fitting(ClipWindows.Window window) {
    int length = window.samples().length;
    int lags = 2 * (int) Math.ceil(LAST_STRETCH_SECONDS * reference.rateHz());
    int fits = Fft.sizeFor(length + lags) / 2 - lags;
    return fits >= length || fits < FITTING_SHARE * length
        ? window
        : window.middle(length - 2 * ((length - fits + 1) / 2), reference.rateHz());
  }

  private LineVote.@Nullable Point nearest(
      ClipWindows.Window window, int number, Correlation correlation, double delay, double unit) {
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
