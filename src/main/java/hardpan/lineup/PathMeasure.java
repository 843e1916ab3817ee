package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Proof.Seen;
import hardpan.signal.Fft;
import hardpan.signal.Statistics;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Measures a proven place to a fraction of a sample.
 *
 * <p>The correlations are stacked along the proven line to tell the direct path from echoes on each
 * channel of the reference; the earliest channel is the direct feed. Then every window gives its
 * own delay close to that path, and the final line goes through those.
 */
final class PathMeasure {
  private static final double SAME_FEED_SECONDS = 0.0001;
  private static final double MOSTLY_SHARE = 0.7;

  /** Windows that scatter by more mix ways of different length. */
  private static final double FINE_SECONDS = 0.00005;

  /** Windows that scatter by more have not locked on one way. */
  static final double LOOSE_SECONDS = 0.0001;

  private static final double ECHO_SECONDS = 0.001;
  private static final double LEAST_LAST_SHARE = 0.4;
  static final double LAST_STRETCH_SECONDS = 0.02;
  private static final double FITTING_SHARE = 0.6;
  private static final double OTHER_CHANNEL_SHARE = 0.4;
  private static final double EARLIER_SHARE = 0.35;
  private static final double LOUD_QUANTILE = 0.8;
  private static final double QUIET_BELOW_LOUD_DB = 12;
  private static final int FEWEST_LOUD = 3;
  static final double EXPECTED_DRIFT_DEVIATION = 40e-6;
  static final double LEAST_SCATTER_SECONDS = 2e-6;

  /** Where the final line may leave the proven one. */
  private static final double FIT_REACH_SECONDS = 0.003;

  private final Candidate source;
  private final ReferenceWindows reference;
  private final Monitor monitor;

  PathMeasure(Candidate source, ReferenceWindows reference, Monitor monitor) {
    this.source = source;
    this.reference = reference;
    this.monitor = monitor;
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
    Measured shared = best != null && best.line().scatter() > LOOSE_SECONDS ? shared(best) : null;
    if (best == null || shared == null) {
      return best == null ? null : best.with(laterThan(best, all));
    }
    double middle = source.durationSeconds() / 2;
    boolean isElsewhere =
        Math.abs(shared.line().at(middle) - best.line().at(middle)) > ECHO_SECONDS;
    return isElsewhere ? shared.asUnsure() : shared;
  }

  /** On all channels of the reference together, where no single one has the windows on a line. */
  private @Nullable Measured shared(Measured loose) throws MediaException {
    Proof proof = loose.proof();
    if (proof.seen().size() < 2) {
      return null;
    }
    List<Double> paths = new ArrayList<>();
    for (DirectPath.Found path : directPaths(proof).values()) {
      if (path.significant()) {
        paths.add(besideSeconds(path));
      }
    }
    return new SharedPath(reference, monitor).measure(proof, loose.line(), paths);
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
    // A neighbour's channel may hear by its own voice what the clip has by bleed: it agrees
    // earlier, but far less than the clip's own feed does.
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
      double seconds = besideSeconds(found);
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
    if (first == null && (proof.isSure() || proof.line().isWeak())) {
      // So much echo or noise that no way stands out; the windows agree nevertheless.
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
        double seconds = besideSeconds(found);
        Measured check = lastLook(proof, entry.getKey(), seconds, 0);
        if (check != null && check.line().scatter() <= FINE_SECONDS) {
          later.add(new Later(true, entry.getKey(), seconds - earliest));
        }
      }
    }
    return (second == null ? first : second).with(later);
  }

  /** Where a path found in such a stack lies beside the proven line. */
  private double besideSeconds(DirectPath.Found path) {
    int half = (int) Math.ceil(Proof.AROUND_SECONDS * reference.rateHz());
    return (path.lag() - half) / reference.rateHz();
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
      double delay = proof.line().at(seen.middleSeconds(reference.rateHz())) + extraSeconds;
      Seen last = slope == 0 ? seen : stretched(proof, seen, slope, delay, referenceChannel);
      LineVote.Point point = last == null ? null : last.near(delay, number, reference.rateHz());
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
            FIT_REACH_SECONDS,
            LEAST_SCATTER_SECONDS,
            0,
            EXPECTED_DRIFT_DEVIATION);
    if (line.pointsUsed() < 3 || line.pointsUsed() < LEAST_LAST_SHARE * all.size()) {
      return null;
    }
    return new Measured(proof, referenceChannel, points, line, signs < 0, false, List.of());
  }

  /** A window's correlation on the reference's clock. */
  private @Nullable Seen stretched(
      Proof proof, Seen seen, double slope, double delay, int referenceChannel)
      throws MediaException {
    ClipWindows.Window window = proof.isPlain() ? fitting(seen.window()) : seen.window();
    return reference.seen(window.stretched(slope), delay, LAST_STRETCH_SECONDS, referenceChannel);
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
}
