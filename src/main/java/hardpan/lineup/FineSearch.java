package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.ProbeWindows.Part;
import hardpan.lineup.Proof.Seen;
import hardpan.lineup.ReferenceWindows.Correlation;
import hardpan.media.SourceReader;
import hardpan.signal.Peaks;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Proves or refuses a coarse place.
 *
 * <p>Windows all along the source are correlated with every channel of the reference within 0.3 s
 * of the expected place; a line on which enough of them agree is the proof. {@link PathMeasure}
 * goes on from there.
 */
final class FineSearch {
  private static final double SEARCH_SECONDS = 0.3;

  private static final int RIVAL_WINDOWS = 6;
  private static final int LEAST_RIVAL_WINDOWS = 3;
  private static final double LEAST_STACK = 12;

  /** A few seconds are alike by accident more often. */
  private static final double LEAST_STACK_IF_SHORT = 15;

  /**
   * Where the coarse search knows a single place, the windows' best line lies there, and the source
   * is not short. Such a place is no more than believed.
   */
  private static final double LEAST_STACK_IF_ALONE = 8;

  /** How far a right coarse place is off at most, the sound's way through a room included. */
  private static final double COARSE_SECONDS = 0.1;

  static final double SHORT_SECONDS = 6;
  private static final double LEAST_STACK_SHARE = 0.4;

  /** Neighbouring windows of a long source that may agree where all together do not. */
  private static final int IN_SECTION = 6;

  private static final int SECTION_STRIDE = 1;
  private static final double SECTION_SHARE = 0.8;
  private static final double SECTION_LOG10 = -6;

  private final Candidate source;
  private final ReferenceWindows reference;
  private final List<Integer> referenceChannels;
  private final Monitor monitor;
  private final ProbeWindows windows;
  private final List<Proof> ofSections = new ArrayList<>();
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
    this.windows = new ProbeWindows(source, reference, monitor);
  }

  /** A channel of the source against a channel of the reference. */
  private record Pair(int channel, int referenceChannel) {}

  /** The best that any place tried so far had to show without being proof; for the reason given. */
  double highestStack() {
    return highestStack;
  }

  /**
   * Tries a place; null if the windows do not agree.
   *
   * @param alone whether the coarse search has no other place that comes near to this one
   */
  @Nullable Proof prove(double offsetSeconds, boolean alone) throws MediaException {
    windows.choose(offsetSeconds);
    double expectedSeconds = alone ? offsetSeconds : Double.NaN;
    Map<Pair, List<Seen>> all = new HashMap<>();
    if (windows.maySuffice()) {
      correlate(windows.read(Part.SOME), offsetSeconds, all);
      Proof proof = proof(all, expectedSeconds);
      if (proof != null && proof.isPlain()) {
        return proof;
      }
      correlate(windows.read(Part.OTHERS), offsetSeconds, all);
      all.values()
          .forEach(
              seen -> seen.sort(Comparator.comparingDouble(one -> one.window().startSeconds())));
    } else {
      correlate(windows.read(Part.ALL), offsetSeconds, all);
    }
    Proof proof = proof(all, expectedSeconds);
    if (proof == null && source.durationSeconds() >= ClockBend.LEAST_SECONDS) {
      proveSection(all);
    }
    return proof;
  }

  /**
   * What a section of the windows agreed on by itself where all of them did not. No proof of a
   * place by itself, only of where a clock's course may begin.
   */
  List<Proof> ofSections() {
    return List.copyOf(ofSections);
  }

  private void proveSection(Map<Pair, List<Seen>> all) {
    Proof best = null;
    for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
      List<Seen> seen = entry.getValue();
      for (int first = 0; first + IN_SECTION <= seen.size(); first += SECTION_STRIDE) {
        List<Seen> some = seen.subList(first, first + IN_SECTION);
        LineVote.Line line = vote(some);
        Proof proof =
            line.share() >= SECTION_SHARE && line.chanceLog10() <= SECTION_LOG10
                ? proof(entry.getKey(), line, Map.of(entry.getKey(), some))
                : null;
        best = proof != null && (best == null || proof.strength() > best.strength()) ? proof : best;
      }
    }
    if (best != null) {
      ofSections.add(best);
    }
  }

  private void correlate(
      List<ClipWindows.Window> some, double offsetSeconds, Map<Pair, List<Seen>> all)
      throws MediaException {
    for (ClipWindows.Window window : some) {
      monitor.checkCancelled();
      correlate(window, offsetSeconds, referenceChannels, all);
    }
  }

  /**
   * What the windows agree on; null if nothing.
   *
   * @param expectedSeconds the place, if it stands alone in the coarse search; NaN otherwise
   */
  private @Nullable Proof proof(Map<Pair, List<Seen>> all, double expectedSeconds) {
    Map<Integer, Proof> ofChannel = new TreeMap<>();
    for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
      keepBetter(ofChannel, proof(entry.getKey(), vote(entry.getValue()), all));
    }
    if (ofChannel.isEmpty()) {
      for (Map.Entry<Pair, List<Seen>> entry : all.entrySet()) {
        LineVote.Line line = stack(entry.getValue(), expectedSeconds);
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
    double least = Proof.LEAST_PEAK_HEIGHT * seen.unit();
    for (float value : seen.correlation().values()) {
      if (Math.abs(value) >= least) {
        return true;
      }
    }
    return false;
  }

  private double heightOnLine(Seen seen, LineVote.Line line) {
    LineVote.Point point = seen.near(line.at(middle(seen)), 0, reference.rateHz());
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
      points.addAll(seen.get(number).peaks(number, reference.rateHz()));
    }
    return LineVote.vote(points, seen.size(), 2 * SEARCH_SECONDS);
  }

  /** What the windows agree on together though each alone is too weak; null if nothing. */
  private LineVote.@Nullable Line stack(List<Seen> seen, double expectedSeconds) {
    List<LineStack.Entry> entries = new ArrayList<>();
    for (Seen one : seen) {
      entries.add(
          new LineStack.Entry(
              middle(one),
              one.correlation().firstDelaySeconds(),
              one.correlation().values(),
              one.unit()));
    }
    LineStack.Found found = LineStack.best(entries, reference.rateHz());
    if (found == null) {
      return null;
    }
    highestStack = Math.max(highestStack, found.height());
    boolean manyAgree = found.windowsOnLine() >= Math.max(3, LEAST_STACK_SHARE * found.windows());
    boolean plain = found.height() >= leastStack();
    double middle = seen.stream().mapToDouble(this::middle).average().orElse(0);
    double off = found.interceptSeconds() + found.slope() * middle - expectedSeconds;
    boolean asExpected =
        found.height() >= LEAST_STACK_IF_ALONE
            && Math.abs(off) <= COARSE_SECONDS
            && source.durationSeconds() >= SHORT_SECONDS;
    return manyAgree && (plain || asExpected)
        ? new LineVote.Line(
            found.interceptSeconds(),
            found.slope(),
            found.windowsOnLine(),
            found.windows(),
            found.heightSum(),
            plain ? -found.height() : LineVote.BELIEVABLE_LOG10)
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
    int half = (int) Math.ceil(Proof.AROUND_SECONDS * rate);
    Correlation all = seen.correlation();
    double delay = line.at(middle(seen));
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

  private double middle(Seen seen) {
    return seen.middleSeconds(reference.rateHz());
  }

  /** Measures a proven place; null if the last look does not confirm it. */
  @Nullable Measured measure(Proof proof) throws MediaException {
    return new PathMeasure(source, reference, monitor).measure(proof);
  }

  /**
   * The same place measured along the clock's course, with a straight line through all of it; null
   * if the straight line says it all, or if no course is proved.
   */
  @Nullable Measured alongCourse(Measured measured) throws MediaException {
    if (!ofSections.contains(measured.proof()) && !ClockCourse.isWorthwhile(source, measured)) {
      return null;
    }
    try (SourceReader reader = source.sound().open()) {
      return new ClockCourse(source, reader, reference, monitor, measured).follow();
    }
  }

  /** Length of sound the source and the reference have in common at a place. */
  double overlapSeconds(double offsetSeconds, double referenceSeconds) {
    double from = Math.max(0, offsetSeconds);
    double to = Math.min(referenceSeconds, offsetSeconds + source.durationSeconds());
    return Math.max(0, to - from);
  }
}
