package hardpan.report;

import java.util.List;
import java.util.Locale;

/**
 * Draws how far the measured windows of a placement lie from its line: along the source's length,
 * in milliseconds up and down. Windows that count are dots; those that were left out as wrong are
 * upright strokes, at the edge where they lie beyond it.
 */
final class ResidualDrawing {
  private static final int WIDTH = 600;
  private static final int HEIGHT = 60;

  /** So that a perfect line is not blown up into noise. */
  private static final double LEAST_RANGE_MS = 0.05;

  private ResidualDrawing() {}

  /** The figure with its caption; empty without windows. */
  static String figure(List<SourcePicture.Residual> residuals, double seconds) {
    if (residuals.isEmpty() || seconds <= 0) {
      return "";
    }
    double largest = 0;
    int counted = 0;
    for (SourcePicture.Residual residual : residuals) {
      if (residual.counted()) {
        counted++;
        largest = Math.max(largest, Math.abs(residual.milliseconds()));
      }
    }
    double range = Math.max(LEAST_RANGE_MS, 1.25 * largest);
    StringBuilder svg = new StringBuilder();
    svg.append("<figure><svg class=\"strip\" viewBox=\"0 0 ")
        .append(WIDTH)
        .append(' ')
        .append(HEIGHT)
        .append(
            "\" preserveAspectRatio=\"none\" role=\"img\"><title>Residuals of the windows</title>")
        .append("<desc>")
        .append(
            String.format(
                Locale.ROOT,
                "%d of %d windows count; they lie within %.3f ms of the line.",
                counted,
                residuals.size(),
                largest))
        .append("</desc><rect class=\"zero\" x=\"0\" y=\"29.8\" width=\"600\" height=\"0.4\"/>");
    for (SourcePicture.Residual residual : residuals) {
      double x = Math.max(3, Math.min(WIDTH - 3, residual.seconds() / seconds * WIDTH));
      double share = Math.max(-1, Math.min(1, residual.milliseconds() / range));
      double y = HEIGHT / 2.0 - share * (HEIGHT / 2.0 - 5);
      svg.append("<path class=\"").append(residual.counted() ? "dot" : "miss").append("\" d=\"M");
      svg.append(Figures.shortest(x, 1)).append(' ');
      svg.append(Figures.shortest(residual.counted() ? y : y - 5, 1));
      svg.append(residual.counted() ? "h0" : "v10").append("\"/>");
    }
    svg.append("</svg><div class=\"ends\"><span>0:00</span><span>")
        .append(Figures.clock(seconds, 0))
        .append("</span></div><figcaption>")
        .append(
            String.format(
                Locale.ROOT,
                "Each dot: how far one window lies from the line. Middle: on the line; upper and"
                    + " lower edge: %.2f ms late and early.",
                range))
        .append(counted < residuals.size() ? " Upright strokes: windows that do not count." : "")
        .append("</figcaption></figure>\n");
    return svg.toString();
  }
}
