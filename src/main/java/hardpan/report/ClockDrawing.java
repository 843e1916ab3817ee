package hardpan.report;

import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** The shoot on the reference's clock: one band a device, each source a box in its place. */
final class ClockDrawing {
  private static final double WIDTH = 1160;
  private static final double MARGIN = 12;
  private static final double AXIS_HEIGHT = 40;
  private static final double DEVICE_HEIGHT = 26;
  private static final double LABEL_HEIGHT = 17;
  private static final double BOX_HEIGHT = 44;
  private static final double ROW_HEIGHT = LABEL_HEIGHT + BOX_HEIGHT + 8;

  /** Mean width of a letter at 13 px, on the generous side (measured on the rendered page). */
  private static final double LETTER_WIDTH = 7.4;

  private static final int[] STEPS_SECONDS = {
    1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400
  };
  private static final int MOST_TICKS = 12;

  /** Beyond a hundred days there is no time of day to show. */
  private static final double LONGEST_SECONDS = 100 * 86400.0;

  private static final DateTimeFormatter TIME_OF_DAY =
      DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter TIME_OF_DAY_SECONDS =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);

  private static final double SIGN_WIDTH = 15;

  private final Report report;
  private final Map<String, SourcePicture> pictures;
  private final Map<String, List<List<Box>>> devices = new LinkedHashMap<>();
  private double firstSecond;
  private double lastSecond;

  private record Box(
      int number, SourceReport source, Standing standing, double start, double end) {}

  private ClockDrawing(Report report, Map<String, SourcePicture> pictures) {
    this.report = report;
    this.pictures = pictures;
    List<Box> boxes = new ArrayList<>();
    for (int i = 0; i < report.sources().size(); i++) {
      Box box = box(i + 1, report.sources().get(i));
      if (box != null) {
        boxes.add(box);
        firstSecond = Math.min(firstSecond, box.start);
        lastSecond = Math.max(lastSecond, box.end);
      }
    }
    boxes.stream().filter(box -> box.standing == Standing.REFERENCE).forEach(this::put);
    boxes.stream().filter(box -> box.standing != Standing.REFERENCE).forEach(this::put);
  }

  /** The drawing as one inline SVG; empty if no source has a place. */
  static String svg(Report report, Map<String, SourcePicture> pictures) {
    ClockDrawing drawing = new ClockDrawing(report, pictures);
    return drawing.devices.isEmpty() ? "" : drawing.draw();
  }

  private @Nullable Box box(int number, SourceReport source) {
    Standing standing = Standing.of(report, source);
    double seconds = source.durationSeconds() == null ? 0 : source.durationSeconds();
    if (standing == Standing.REFERENCE) {
      return new Box(number, source, standing, 0, seconds);
    }
    PlacementReport placement = source.placement();
    if ((standing != Standing.PLACED && standing != Standing.AMBIGUOUS)
        || placement == null
        || placement.offsetSeconds() == null) {
      return null;
    }
    double drift = placement.driftPpm() == null ? 0 : placement.driftPpm();
    double start = placement.offsetSeconds();
    return new Box(number, source, standing, start, start + seconds * (1 + drift * 1e-6));
  }

  /** Into its device's first row that is free by then. */
  private void put(Box box) {
    String device = box.source.device() == null ? "" : box.source.device();
    List<List<Box>> rows = devices.computeIfAbsent(device, name -> new ArrayList<>());
    for (List<Box> row : rows) {
      if (row.stream().allMatch(other -> other.end <= box.start || box.end <= other.start)) {
        row.add(box);
        return;
      }
    }
    rows.add(new ArrayList<>(List.of(box)));
  }

  private String draw() {
    double height = AXIS_HEIGHT + 6;
    for (List<List<Box>> rows : devices.values()) {
      height += DEVICE_HEIGHT + rows.size() * ROW_HEIGHT;
    }
    StringBuilder svg = new StringBuilder(8192);
    svg.append("<svg class=\"clock\" viewBox=\"0 0 ")
        .append(number(WIDTH))
        .append(' ')
        .append(number(height))
        .append("\" role=\"img\" aria-labelledby=\"clock-title clock-desc\">")
        .append("<title id=\"clock-title\">The shoot on the reference's clock</title>")
        .append("<desc id=\"clock-desc\">")
        .append(description())
        .append("</desc>");
    axis(svg, height);
    double y = AXIS_HEIGHT;
    for (Map.Entry<String, List<List<Box>>> device : devices.entrySet()) {
      svg.append("<text class=\"device\" x=\"")
          .append(number(MARGIN))
          .append("\" y=\"")
          .append(number(y + 19))
          .append("\">")
          .append(device.getKey().isEmpty() ? "unknown device" : Html.isolated(device.getKey()))
          .append("</text>");
      y += DEVICE_HEIGHT;
      for (List<Box> row : device.getValue()) {
        row(svg, row, y);
        y += ROW_HEIGHT;
      }
    }
    return svg.append("</svg>").toString();
  }

  private String description() {
    List<String> parts = new ArrayList<>();
    for (List<List<Box>> rows : devices.values()) {
      for (List<Box> row : rows) {
        for (Box box : row) {
          parts.add(said(box));
        }
      }
    }
    return String.join("; ", parts) + ".";
  }

  private static String said(Box box) {
    return box.number
        + " "
        + Html.isolated(box.source.path())
        + ", "
        + box.standing.label()
        + ", "
        + Figures.clock(box.start, 0)
        + " to "
        + Figures.clock(box.end, 0)
        + faultWords(box);
  }

  private void axis(StringBuilder svg, double height) {
    double span = Math.max(1e-3, lastSecond - firstSecond);
    double step = STEPS_SECONDS[0];
    for (int i = 1; i < STEPS_SECONDS.length && span / step > MOST_TICKS; i++) {
      step = STEPS_SECONDS[i];
    }
    while (span / step > MOST_TICKS) {
      step *= 2;
    }
    Moment moment =
        report.reference() == null
            ? null
            : report.source(report.reference()).map(SourceReport::startedAt).orElse(null);
    LocalDateTime began = moment == null ? null : moment.local();
    DateTimeFormatter timeOfDay = step < 60 ? TIME_OF_DAY_SECONDS : TIME_OF_DAY;
    for (double second = Math.ceil(firstSecond / step) * step;
        second <= lastSecond;
        second += step) {
      double x = x(second);
      String anchor = x > WIDTH - 60 ? "end" : x < MARGIN + 20 ? "start" : "middle";
      svg.append("<line class=\"grid\" x1=\"")
          .append(number(x))
          .append("\" y1=\"")
          .append(number(AXIS_HEIGHT - 6))
          .append("\" x2=\"")
          .append(number(x))
          .append("\" y2=\"")
          .append(number(height))
          .append("\"/>");
      tickText(svg, x, 14, anchor, Figures.clock(second, 0));
      if (began != null && Math.abs(second) < LONGEST_SECONDS) {
        tickText(svg, x, 30, anchor, timeOfDay.format(began.plusSeconds((long) second)));
      }
    }
  }

  private static void tickText(StringBuilder svg, double x, double y, String anchor, String text) {
    svg.append("<text class=\"tick\" text-anchor=\"")
        .append(anchor)
        .append("\" x=\"")
        .append(number(x))
        .append("\" y=\"")
        .append(number(y))
        .append("\">")
        .append(text)
        .append("</text>");
  }

  private void row(StringBuilder svg, List<Box> row, double y) {
    List<Box> inOrder = new ArrayList<>(row);
    inOrder.sort((a, b) -> Double.compare(a.start, b.start));
    double freeFrom = 0;
    for (int i = 0; i < inOrder.size(); i++) {
      Box box = inOrder.get(i);
      double x = x(box.start);
      double width = Math.max(3, x(box.end) - x);
      double room = (i + 1 < inOrder.size() ? x(inOrder.get(i + 1).start) : WIDTH) - x - 6;
      svg.append("<g><title>").append(said(box)).append("</title>");
      double sign = faults(box) > 0 ? SIGN_WIDTH : 0;
      String label = label(box, room - sign);
      if (!label.isEmpty() && x >= freeFrom) {
        if (sign > 0) {
          faultSign(svg, x, y);
        }
        svg.append("<text x=\"")
            .append(number(x + sign))
            .append("\" y=\"")
            .append(number(y + 12))
            .append("\">")
            .append(Html.isolated(label))
            .append("</text>");
        freeFrom = x + sign + label.length() * LETTER_WIDTH;
      }
      drawBox(svg, box, x, y + LABEL_HEIGHT, width);
      svg.append("</g>");
    }
  }

  /** An octagon before the words. */
  private static void faultSign(StringBuilder svg, double x, double y) {
    svg.append("<path class=\"is-fault\" d=\"M")
        .append(number(x + 3))
        .append(' ')
        .append(number(y + 2))
        .append("h5l3 3v5l-3 3h-5l-3 -3v-5z\"/>");
  }

  private static long faults(Box box) {
    return FirstLooks.of(box.source).stream()
        .filter(look -> look.severity() == FindingReport.Severity.FAULT)
        .count();
  }

  /** {@code , 2 faults}; empty if there are none. */
  private static String faultWords(Box box) {
    long faults = faults(box);
    return faults == 0 ? "" : ", " + Figures.count(faults, "fault", "faults");
  }

  private void drawBox(StringBuilder svg, Box box, double x, double y, double width) {
    boolean ambiguous = box.standing == Standing.AMBIGUOUS;
    boolean reference = box.standing == Standing.REFERENCE;
    rect(svg, ambiguous ? "box box-ambiguous" : "box", x, y, width, BOX_HEIGHT, ambiguous ? 9 : 0);
    if (reference && width > 8) {
      rect(svg, "inner", x + 3, y + 3, width - 6, BOX_HEIGHT - 6, 0);
    }
    SourcePicture picture = pictures.get(box.source.path());
    if (picture == null || picture.channelCount() == 0) {
      return;
    }
    double inset = Math.min(4, width / 6);
    int loudest = loudest(picture);
    String data =
        WaveDrawing.path(
            picture.minima().get(loudest),
            picture.maxima().get(loudest),
            x + inset,
            y + 5,
            width - 2 * inset,
            BOX_HEIGHT - 10);
    if (!data.isEmpty()) {
      svg.append("<path class=\"wave").append("\" d=\"").append(data).append("\"/>");
    }
  }

  /** The channel that stands for the source: the one with the largest drawn area. */
  private static int loudest(SourcePicture picture) {
    int best = 0;
    double most = -1;
    for (int channel = 0; channel < picture.channelCount(); channel++) {
      double area = 0;
      for (int i = 0; i < picture.maxima().get(channel).length; i++) {
        area += picture.maxima().get(channel)[i] - picture.minima().get(channel)[i];
      }
      if (area > most) {
        most = area;
        best = channel;
      }
    }
    return best;
  }

  /** As much of number, file name and standing as fits. */
  private static String label(Box box, double room) {
    String path = box.source.path();
    String file = path.substring(path.lastIndexOf('/') + 1);
    for (String label :
        List.of(
            box.number + " " + file + ", " + box.standing.label() + faultWords(box),
            box.number + " " + file + faultWords(box),
            box.number + " " + file,
            Integer.toString(box.number))) {
      if (label.length() * LETTER_WIDTH <= room) {
        return label;
      }
    }
    return "";
  }

  private double x(double second) {
    double span = Math.max(1e-3, lastSecond - firstSecond);
    return MARGIN + (second - firstSecond) / span * (WIDTH - 2 * MARGIN);
  }

  private static void rect(
      StringBuilder svg,
      String style,
      double x,
      double y,
      double width,
      double height,
      double radius) {
    svg.append("<rect class=\"")
        .append(style)
        .append("\" x=\"")
        .append(number(x))
        .append("\" y=\"")
        .append(number(y))
        .append("\" width=\"")
        .append(number(width))
        .append("\" height=\"")
        .append(number(height))
        .append(radius > 0 ? "\" rx=\"" + number(radius) : "")
        .append("\"/>");
  }

  private static String number(double value) {
    return Figures.shortest(value, 1);
  }
}
