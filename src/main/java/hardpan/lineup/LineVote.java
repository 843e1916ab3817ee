package hardpan.lineup;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Looks for the straight line (delay against time) on which the most windows have a correlation
 * peak, and says how likely so much agreement would be by chance.
 *
 * <p>Every pair of peaks in different windows proposes a line; all are tried, so the result does
 * not depend on luck. Only the agreement counts, never the height of one peak: whitened speech has
 * high peaks by accident.
 */
final class LineVote {
  /** Chance at which a line is believed. */
  static final double BELIEVABLE_LOG10 = -4;

  private static final double STEEPEST = 250e-6;

  /** So far a window may lie from the line. */
  static final double TOLERANCE_SECONDS = 0.0003;

  /**
   * Peaks are about 20 microseconds off and clocks about 60 parts in a million: the square of the
   * one over the other keeps peaks that lie close together from drawing a steep line.
   */
  private static final double SLOPE_DOUBT_SQUARE_SECONDS = 0.11;

  private LineVote() {}

  /**
   * A correlation peak of a window.
   *
   * @param window number of the window
   * @param seconds middle of the window in the source
   * @param delaySeconds reference seconds less source seconds
   * @param height in units of scatter, with sign
   */
  record Point(int window, double seconds, double delaySeconds, double height) {}

  /**
   * The best line.
   *
   * @param interceptSeconds delay at source second 0
   * @param slope delay growth a second
   * @param windowsOnLine windows with a peak on the line
   * @param windows windows that took part
   * @param heightSum sum of the absolute heights on the line
   * @param chanceLog10 logarithm of the chance that windows without common sound would agree as
   *     well
   */
  record Line(
      double interceptSeconds,
      double slope,
      int windowsOnLine,
      int windows,
      double heightSum,
      double chanceLog10) {

    double at(double seconds) {
      return interceptSeconds + slope * seconds;
    }

    /** Mean height of the windows on the line, 0 if there are none. */
    double meanHeight() {
      return windowsOnLine == 0 ? 0 : heightSum / windowsOnLine;
    }

    double share() {
      return windows == 0 ? 0 : (double) windowsOnLine / windows;
    }

    /** Whether the line is good enough to be believed. */
    boolean believable() {
      return windowsOnLine >= 3 && share() >= 0.4 && chanceLog10 <= BELIEVABLE_LOG10;
    }

    /** Whether it is believable by a hair only, or by what else is known of the place. */
    boolean isWeak() {
      return chanceLog10 >= BELIEVABLE_LOG10;
    }
  }

  private static final Line NOTHING = new Line(0, 0, 0, 0, 0, 0);

  /**
   * Votes.
   *
   * @param points peaks of all windows
   * @param windows number of windows that took part
   * @param searchedSeconds width of the searched range of delays
   */
  static Line vote(List<Point> points, int windows, double searchedSeconds) {
    if (points.isEmpty()) {
      return NOTHING;
    }
    double first = Double.POSITIVE_INFINITY;
    double last = Double.NEGATIVE_INFINITY;
    for (Point point : points) {
      first = Math.min(first, point.seconds());
      last = Math.max(last, point.seconds());
    }
    double leastDistance = Math.max(2, (last - first) / 4);
    Line best = NOTHING;
    long tried = 0;
    for (int i = 0; i < points.size(); i++) {
      Point a = points.get(i);
      best = better(best, count(points, windows, a.delaySeconds(), 0));
      tried++;
      for (int j = i + 1; j < points.size(); j++) {
        Point b = points.get(j);
        double distance = b.seconds() - a.seconds();
        if (Math.abs(distance) < leastDistance) {
          continue;
        }
        double slope = (b.delaySeconds() - a.delaySeconds()) / distance;
        if (Math.abs(slope) <= STEEPEST) {
          best =
              better(best, count(points, windows, a.delaySeconds() - slope * a.seconds(), slope));
          tried++;
        }
      }
    }
    double chance = chance(best, points.size(), tried, searchedSeconds);
    best = fitted(points, best);
    return new Line(
        best.interceptSeconds, best.slope, best.windowsOnLine, windows, best.heightSum, chance);
  }

  /**
   * The line that lies best among the peaks on it. Several hold as many within the tolerance, and
   * sound stacked along one that is half of that off at the ends would be smeared.
   */
  private static Line fitted(List<Point> points, Line line) {
    if (line.windowsOnLine < 2) {
      return line;
    }
    Map<Integer, Point> highest = new HashMap<>();
    for (Point point : points) {
      if (isOn(point, line.interceptSeconds, line.slope)) {
        highest.merge(
            point.window(), point, (a, b) -> Math.abs(b.height()) > Math.abs(a.height()) ? b : a);
      }
    }
    double seconds = 0;
    double delay = 0;
    for (Point point : highest.values()) {
      seconds += point.seconds() / highest.size();
      delay += point.delaySeconds() / highest.size();
    }
    double covariance = 0;
    double variance = SLOPE_DOUBT_SQUARE_SECONDS;
    for (Point point : highest.values()) {
      covariance += (point.seconds() - seconds) * (point.delaySeconds() - delay);
      variance += (point.seconds() - seconds) * (point.seconds() - seconds);
    }
    double slope = covariance / variance;
    Line fitted = count(points, line.windows, delay - slope * seconds, slope);
    return Math.abs(slope) <= STEEPEST && fitted.windowsOnLine >= line.windowsOnLine
        ? fitted
        : line;
  }

  private static Line better(Line a, Line b) {
    if (b.windowsOnLine != a.windowsOnLine) {
      return b.windowsOnLine > a.windowsOnLine ? b : a;
    }
    return b.heightSum > a.heightSum ? b : a;
  }

  private static Line count(List<Point> points, int windows, double intercept, double slope) {
    double[] heights = new double[windows];
    for (Point point : points) {
      if (isOn(point, intercept, slope)) {
        heights[point.window()] = Math.max(heights[point.window()], Math.abs(point.height()));
      }
    }
    int on = 0;
    double sum = 0;
    for (double height : heights) {
      if (height > 0) {
        on++;
        sum += height;
      }
    }
    return new Line(intercept, slope, on, windows, sum, 0);
  }

  private static boolean isOn(Point point, double intercept, double slope) {
    double distance = point.delaySeconds() - intercept - slope * point.seconds();
    return Math.abs(distance) <= TOLERANCE_SECONDS;
  }

  /**
   * Union bound: lines tried times the binomial chance that, beyond the two windows that made the
   * line, as many others have a peak on it by accident.
   */
  private static double chance(Line line, int points, long tried, double searchedSeconds) {
    int others = line.windows - 2;
    int agreeing = line.windowsOnLine - 2;
    if (agreeing <= 0 || others <= 0) {
      return 0;
    }
    double perWindow = (double) points / line.windows;
    double share = Math.min(0.5, perWindow * 2 * TOLERANCE_SECONDS / searchedSeconds);
    double total = 0;
    for (int k = agreeing; k <= others; k++) {
      double log = k * Math.log(share) + (others - k) * Math.log1p(-share);
      for (int i = 1; i <= k; i++) {
        log += Math.log((others - k + i) / (double) i);
      }
      total += Math.exp(log);
    }
    return Math.min(
        0, Math.log10(Math.max(total, 1e-300)) + Math.log10((double) Math.max(1, tried)));
  }
}
