package hardpan.lineup;

import hardpan.lineup.ReferenceWindows.Correlation;
import hardpan.signal.Peaks;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

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
  /** The correlations reach so far to either side of the line. */
  static final double AROUND_SECONDS = 0.06;

  private static final double SURE_LOG10 = -8;
  private static final double SURE_SHARE = 0.6;
  private static final double PLAIN_SHARE = 0.8;
  private static final int PEAKS_IN_WINDOW = 4;

  /** A window's peaks count from this height on, in units of its scatter. */
  static final double LEAST_PEAK_HEIGHT = 7;

  private static final double LEAST_PEAK_SHARE = 0.5;
  private static final double NEAR_SECONDS = 0.0015;
  private static final double LEAST_NEAR_HEIGHT = 4;

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

  /**
   * A window's correlation with one channel of the reference.
   *
   * @param unit scatter of the correlation, above 0
   */
  record Seen(ClipWindows.Window window, Correlation correlation, double unit) {
    double middleSeconds(int rateHz) {
      return window.startSeconds() + 0.5 * window.samples().length / rateHz;
    }

    /**
     * The window's strongest agreements, wherever they are.
     *
     * @param number of the window among those looked at
     */
    List<LineVote.Point> peaks(int number, int rateHz) {
      List<LineVote.Point> points = new ArrayList<>();
      for (Peaks.Peak peak :
          Peaks.strongest(
              correlation.values(),
              unit,
              PEAKS_IN_WINDOW,
              LEAST_PEAK_HEIGHT,
              LEAST_PEAK_SHARE,
              rateHz / 2000)) {
        double delay = correlation.firstDelaySeconds() + peak.lag() / rateHz;
        points.add(new LineVote.Point(number, middleSeconds(rateHz), delay, peak.height()));
      }
      return points;
    }

    /**
     * The highest agreement close to a delay; null if none stands out.
     *
     * @param number of the window among those looked at
     */
    LineVote.@Nullable Point near(double delaySeconds, int number, int rateHz) {
      return near(delaySeconds, NEAR_SECONDS, number, rateHz);
    }

    /** The same within {@code reachSeconds} on either side. */
    LineVote.@Nullable Point near(
        double delaySeconds, double reachSeconds, int number, int rateHz) {
      float[] values = correlation.values();
      int centre = (int) Math.round((delaySeconds - correlation.firstDelaySeconds()) * rateHz);
      int reach = (int) Math.ceil(reachSeconds * rateHz);
      int best = Math.max(0, Math.min(values.length - 1, centre));
      for (int i = Math.max(0, centre - reach);
          i <= Math.min(values.length - 1, centre + reach);
          i++) {
        if (Math.abs(values[i]) > Math.abs(values[best])) {
          best = i;
        }
      }
      if (unit <= 0 || Math.abs(values[best]) < LEAST_NEAR_HEIGHT * unit) {
        return null;
      }
      double lag = Peaks.refine(values, best);
      return new LineVote.Point(
          number,
          middleSeconds(rateHz),
          correlation.firstDelaySeconds() + lag / rateHz,
          values[best] / unit);
    }
  }
}
