package hardpan.report;

import java.util.List;

/** Draws waveform columns as SVG path data and as a source's strip with its clipped stretches. */
final class WaveDrawing {
  private static final int STRIP_WIDTH = 600;
  private static final int STRIP_HEIGHT = 60;
  private static final int MARK_HEIGHT = 7;
  private static final double LEAST_MARK = 2;

  /** Rows of findings' marks under the waveform. */
  static final int MOST_ROWS = 4;

  private static final int ROW_HEIGHT = 4;

  private WaveDrawing() {}

  /**
   * One closed outline, a point a column above and below; never thinner than half a unit, so that
   * silence is a line. Values beyond full scale are drawn at full scale, NaN as silence.
   *
   * @return path data; empty for no columns or no room
   */
  static String path(
      float[] minima, float[] maxima, double x, double y, double width, double height) {
    int columns = Math.min(minima.length, Math.max(1, (int) Math.floor(width)));
    if (columns == 0 || width <= 0) {
      return "";
    }
    StringBuilder top = new StringBuilder();
    String[] bottom = new String[columns];
    double middle = y + height / 2;
    for (int column = 0; column < columns; column++) {
      int from = (int) ((long) column * minima.length / columns);
      int to = Math.max(from + 1, (int) ((long) (column + 1) * minima.length / columns));
      double low = 0;
      double high = 0;
      for (int i = from; i < to; i++) {
        low = Math.min(low, finite(minima[i]));
        high = Math.max(high, finite(maxima[i]));
      }
      double left = x + width * column / columns;
      double right = x + width * (column + 1) / columns;
      double highY = middle - Math.max(0.25, high * height / 2);
      double lowY = middle + Math.max(0.25, -low * height / 2);
      top.append(column == 0 ? "M" : "L").append(point(left, highY));
      bottom[columns - 1 - column] = "L" + point(left, lowY);
      if (column == columns - 1) {
        top.append('L').append(point(right, highY)).append('L').append(point(right, lowY));
      }
    }
    return top.append(String.join("", bottom)).append('Z').toString();
  }

  /**
   * One channel's strip: waveform, a mark along the top wherever it is clipped, and a row of marks
   * along the bottom for each finding, the first one lowest.
   */
  static String strip(
      SourcePicture picture,
      int channel,
      double seconds,
      List<SpanReport> clipped,
      List<FindingReport> findings,
      String title) {
    StringBuilder svg = new StringBuilder();
    svg.append("<svg class=\"strip\" viewBox=\"0 0 ")
        .append(STRIP_WIDTH)
        .append(' ')
        .append(STRIP_HEIGHT)
        .append("\" preserveAspectRatio=\"none\" role=\"img\"><title>")
        .append(Html.text(title))
        .append("</title><desc>")
        .append(
            clipped.isEmpty()
                ? "Waveform over the whole length; nothing is marked as clipped."
                : "Waveform over the whole length; marks along the top show "
                    + Figures.count(clipped.size(), "clipped stretch", "clipped stretches")
                    + ".")
        .append(
            String.join(
                "",
                findings.stream()
                    .map(
                        finding ->
                            " "
                                + Html.text(finding.code())
                                + ": "
                                + Figures.count(finding.spans().size(), "stretch", "stretches")
                                + " marked along the bottom.")
                    .toList()))
        .append("</desc><rect class=\"zero\" x=\"0\" y=\"29.8\" width=\"600\" height=\"0.4\"/>");
    String data =
        path(
            picture.minima().get(channel),
            picture.maxima().get(channel),
            0,
            0,
            STRIP_WIDTH,
            STRIP_HEIGHT);
    if (!data.isEmpty()) {
      svg.append("<path class=\"wave\" d=\"").append(data).append("\"/>");
    }
    if (seconds > 0) {
      marks(svg, seconds, clipped, "cut", 0, MARK_HEIGHT);
      for (int row = 0; row < findings.size(); row++) {
        FindingReport finding = findings.get(row);
        double y = STRIP_HEIGHT - (row + 1) * (ROW_HEIGHT + 1);
        marks(svg, seconds, finding.spans(), "is-" + finding.severity().word(), y, ROW_HEIGHT);
      }
    }
    return svg.append("</svg>").toString();
  }

  /** Marks of two units or more; those that would touch become one, so there are never many. */
  private static void marks(
      StringBuilder svg,
      double seconds,
      List<SpanReport> clipped,
      String kind,
      double y,
      int height) {
    double from = -1;
    double to = -1;
    for (SpanReport span : clipped) {
      double start = span.startSeconds() / seconds * STRIP_WIDTH;
      double x = Math.max(0, Math.min(STRIP_WIDTH - LEAST_MARK, start));
      double end = Math.min(STRIP_WIDTH, span.endSeconds() / seconds * STRIP_WIDTH);
      end = Math.max(x + LEAST_MARK, end);
      if (from >= 0 && x >= from && x <= to) {
        to = Math.max(to, end);
        continue;
      }
      mark(svg, from, to, kind, y, height);
      from = x;
      to = end;
    }
    mark(svg, from, to, kind, y, height);
  }

  private static void mark(
      StringBuilder svg, double from, double to, String kind, double y, int height) {
    if (from >= 0) {
      svg.append("<rect class=\"")
          .append(kind)
          .append("\" x=\"")
          .append(Figures.shortest(from, 1))
          .append("\" y=\"")
          .append(Figures.shortest(y, 1))
          .append("\" width=\"")
          .append(Figures.shortest(to - from, 1))
          .append("\" height=\"")
          .append(height)
          .append("\"/>");
    }
  }

  private static double finite(float value) {
    return Float.isNaN(value) ? 0 : Math.max(-1, Math.min(1, value));
  }

  private static String point(double x, double y) {
    return Figures.shortest(x, 1) + " " + Figures.shortest(y, 1);
  }
}
