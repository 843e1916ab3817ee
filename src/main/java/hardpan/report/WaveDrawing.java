package hardpan.report;

import java.util.List;

/** Draws waveform columns as SVG path data and as a source's strip with its clipped stretches. */
final class WaveDrawing {
  private static final int STRIP_WIDTH = 600;
  private static final int STRIP_HEIGHT = 60;
  private static final double MARK_HEIGHT = 7;

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

  /** One channel's strip: waveform, and a mark along the top wherever it is clipped. */
  static String strip(
      SourcePicture picture, int channel, double seconds, List<SpanReport> clipped, String title) {
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
      for (SpanReport span : clipped) {
        double x = Math.min(STRIP_WIDTH, span.startSeconds() / seconds * STRIP_WIDTH);
        double end = Math.min(STRIP_WIDTH, span.endSeconds() / seconds * STRIP_WIDTH);
        svg.append("<rect class=\"cut\" x=\"")
            .append(Figures.shortest(Math.min(x, STRIP_WIDTH - 2), 1))
            .append("\" y=\"0\" width=\"")
            .append(Figures.shortest(Math.max(2, end - x), 1))
            .append("\" height=\"")
            .append(Figures.shortest(MARK_HEIGHT, 1))
            .append("\"/>");
      }
    }
    return svg.append("</svg>").toString();
  }

  private static double finite(float value) {
    return Float.isNaN(value) ? 0 : Math.max(-1, Math.min(1, value));
  }

  private static String point(double x, double y) {
    return Figures.shortest(x, 1) + " " + Figures.shortest(y, 1);
  }
}
