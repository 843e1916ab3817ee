package hardpan.lineup;

import java.util.List;

/**
 * Looks for the straight line (delay against time) on which the most windows have a correlation
 * peak, and says how likely so much agreement would be by chance.
 *
 * <p>Every pair of peaks in different windows proposes a line; all are tried, so the result does
 * not depend on luck. Only the agreement counts, never the height of one peak: whitened speech has
 * high peaks by accident.
 */
final class LineVote {
  private static final double STEEPEST = 250e-6;
  private static final double TOLERANCE_SECONDS = 0.0003;

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

    double share() {
      return windows == 0 ? 0 : (double) windowsOnLine / windows;
    }

    /** Whether the line is good enough to be believed. */
    boolean believable() {
      return windowsOnLine >= 3 && share() >= 0.4 && chanceLog10 <= -4;
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
    return new Line(
        best.interceptSeconds, best.slope, best.windowsOnLine, windows, best.heightSum, chance);
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
      double distance = point.delaySeconds() - intercept - slope * point.seconds();
      if (Math.abs(distance) <= TOLERANCE_SECONDS) {
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
