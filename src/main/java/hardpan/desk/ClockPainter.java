package hardpan.desk;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockLayout.Box;
import hardpan.desk.model.Flag;
import hardpan.desk.model.Mark;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Tone;
import hardpan.report.FindingReport.Severity;
import hardpan.report.Standing;
import hardpan.shoot.Overview;
import java.util.List;
import javafx.geometry.VPos;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.text.Font;
import javafx.scene.text.FontWeight;
import javafx.scene.text.Text;
import javafx.scene.text.TextAlignment;
import org.jspecify.annotations.Nullable;

/**
 * Draws the picture of the shoot. Lines and waveforms are filled rectangles on whole pixels: with
 * software drawing that is many times faster than strokes, which are smoothed.
 */
final class ClockPainter {
  private static final double TEXT_SIZE = 12;
  private static final double MARK_SIZE = 12;
  private static final int EDGE_BAR = 3;
  private static final int DASH = 4;

  private final Theme theme;
  private final Font plain = Font.font(TEXT_SIZE);
  private final Font strong = Font.font(plain.getFamily(), FontWeight.BOLD, TEXT_SIZE);
  private final Text ruler = new Text();

  ClockPainter(Theme theme) {
    this.theme = theme;
  }

  /** Draws what can be seen of the picture. */
  void paint(Canvas canvas, ClockLayout layout, int scroll) {
    GraphicsContext gc = canvas.getGraphicsContext2D();
    int width = (int) canvas.getWidth();
    int height = (int) canvas.getHeight();
    fill(gc, Tone.CARD, 0, 0, width, height);
    gc.setTextBaseline(VPos.CENTER);
    for (ClockLayout.Strip strip : layout.strips()) {
      strip(gc, strip, strip.y() - scroll, width);
    }
    List<ClockLayout.Tick> ticks = layout.ticks();
    for (ClockLayout.Tick tick : ticks) {
      fill(gc, Tone.HAIR, tick.x(), 0, 1, height);
    }
    for (Box box : layout.boxes()) {
      int top = box.y() - scroll;
      if (top - ClockLayout.LABEL_HEIGHT < height && top + box.height() > 0) {
        box(gc, box, top, layout);
      }
    }
    axis(gc, ticks, width);
  }

  private void axis(GraphicsContext gc, List<ClockLayout.Tick> ticks, int width) {
    int bottom = ClockLayout.AXIS_HEIGHT;
    fill(gc, Tone.CARD, 0, 0, width, bottom);
    fill(gc, Tone.EDGE, 0, bottom - 1, width, 1);
    gc.setFont(plain);
    gc.setFill(theme.colour(Tone.SOFT));
    gc.setTextAlign(TextAlignment.LEFT);
    String words = Texts.of("clock.axis");
    gc.fillText(shortened(words, plain, ClockLayout.NAMES_WIDTH - 8), 8, bottom / 2.0 - 1);
    gc.setTextAlign(TextAlignment.CENTER);
    for (ClockLayout.Tick tick : ticks) {
      double half = width(tick.words(), plain) / 2;
      fill(gc, Tone.EDGE, tick.x(), bottom - 6, 1, 5);
      double x = Math.min(Math.max(tick.x(), half), width - half - 6);
      gc.setFill(theme.colour(Tone.SOFT));
      gc.fillText(tick.words(), x, bottom / 2.0 - 2);
    }
    gc.setTextAlign(TextAlignment.LEFT);
  }

  private void strip(GraphicsContext gc, ClockLayout.Strip strip, int y, int width) {
    fill(gc, Tone.BAND, 0, y, ClockLayout.NAMES_WIDTH, strip.height());
    fill(gc, Tone.HAIR, 0, y + strip.height(), width, 1);
    gc.setFont(strong);
    gc.setFill(theme.colour(Tone.INK));
    double lineY = y + 14;
    for (String line : strip.name().split("\n", -1)) {
      gc.fillText(shortened(line, strong, ClockLayout.NAMES_WIDTH - 14), 8, lineY);
      lineY += 16;
    }
  }

  private void box(GraphicsContext gc, Box box, int top, ClockLayout layout) {
    ClockItem item = box.item();
    label(gc, box, top - ClockLayout.LABEL_HEIGHT / 2.0);
    boolean astray = !item.reason().isEmpty();
    fill(gc, Tone.CARD, box.x(), top, box.width(), box.height());
    waves(gc, box, top);
    if (astray) {
      dashed(gc, box, top);
    } else {
      Tone edge = item.row().standing() == Standing.AMBIGUOUS ? Tone.AMBIGUOUS : Tone.EDGE;
      frame(gc, edge, box.x(), top, box.width(), box.height(), 1);
      for (Flag flag : item.flags()) {
        flag(gc, box, top, flag, layout);
      }
    }
  }

  /** Number, name, and what is wrong, each finding with its shape and its words. */
  private void label(GraphicsContext gc, Box box, double middle) {
    ClockItem item = box.item();
    double x = box.x();
    x = mark(gc, Mark.of(item.row().standing()), x, middle, box.labelEnd());
    gc.setFill(theme.colour(Tone.INK));
    x = words(gc, item.row().number() + "  " + item.row().fileName(), strong, x, middle, box);
    if (!item.reason().isEmpty()) {
      gc.setFill(theme.colour(Tone.SOFT));
      words(gc, item.reason(), plain, x + 6, middle, box);
      return;
    }
    Severity worst =
        item.flags().stream().map(Flag::severity).max(Severity::compareTo).orElse(null);
    if (worst != null && x + 6 + MARK_SIZE < box.labelEnd()) {
      x = mark(gc, Mark.of(worst), x + 6, middle, box.labelEnd());
      gc.setFill(theme.colour(Tone.SOFT));
      words(gc, item.flagWords(), plain, x, middle, box);
    }
  }

  private double mark(GraphicsContext gc, Mark mark, double x, double middle, int end) {
    if (x + MARK_SIZE > end) {
      return x;
    }
    double size = 0.85;
    gc.save();
    gc.translate(Math.rint(x), Math.rint(middle - 6 * size));
    gc.scale(size, size);
    gc.setFill(theme.colour(mark.tone()));
    gc.beginPath();
    gc.appendSVGPath(mark.path());
    gc.fill();
    gc.restore();
    return x + MARK_SIZE + 3;
  }

  private double words(
      GraphicsContext gc, String text, Font font, double x, double middle, Box box) {
    String fitting = shortened(text, font, box.labelEnd() - x);
    gc.setFont(font);
    gc.fillText(fitting, x, middle);
    return x + width(fitting, font);
  }

  private void waves(GraphicsContext gc, Box box, int top) {
    ClockItem item = box.item();
    Overview overview = item.overview();
    if (overview == null || box.width() < 3) {
      return;
    }
    List<float[]> minima = overview.minima(box.width());
    List<float[]> maxima = overview.maxima(box.width());
    Tone tone =
        switch (item.row().standing()) {
          case REFERENCE -> Tone.WAVE_REFERENCE;
          case PLACED, AMBIGUOUS -> Tone.WAVE;
          case UNPLACED, NOT_LINED_UP, UNREADABLE -> Tone.WAVE_ASTRAY;
        };
    int high = box.height() / box.strips();
    for (int strip = 0; strip < box.strips(); strip++) {
      int y = top + strip * high;
      if (strip > 0) {
        fill(gc, Tone.HAIR, box.x(), y, box.width(), 1);
      }
      gc.setFill(theme.colour(tone));
      boolean all = box.strips() < minima.size();
      float[] low = all ? merged(minima, -1) : minima.get(strip);
      float[] peak = all ? merged(maxima, 1) : maxima.get(strip);
      wave(gc, low, peak, box.x(), box.width(), y, high);
    }
  }

  /** The outermost of all channels, when there are too many to draw one below the other. */
  private static float[] merged(List<float[]> channels, int sign) {
    float[] outermost = channels.get(0).clone();
    for (float[] channel : channels) {
      for (int i = 0; i < outermost.length; i++) {
        outermost[i] = sign * Math.max(sign * outermost[i], sign * channel[i]);
      }
    }
    return outermost;
  }

  private static void wave(
      GraphicsContext gc, float[] low, float[] peak, int x, int width, int y, int high) {
    if (low.length == 0) {
      return;
    }
    double middle = y + high / 2.0;
    double half = high / 2.0 - 1;
    for (int column = 0; column < width; column++) {
      int i = (int) ((long) column * low.length / width);
      double from = Math.rint(middle - half * height(peak[i]));
      double to = Math.max(from + 1, Math.rint(middle - half * height(low[i])));
      gc.fillRect(x + column, from, 1, to - from);
    }
  }

  /**
   * Height of a sample, -1 to 1: the square root of it, because straight heights would show speech
   * at -30 dBFS as a bare line (-20 dB is a third of the height, -40 dB a tenth). Samples of lossy
   * clips may pass full scale, damaged ones may be no numbers at all.
   */
  private static double height(float sample) {
    return Float.isNaN(sample)
        ? 0
        : Math.signum(sample) * Math.sqrt(Math.min(1, Math.abs((double) sample)));
  }

  /**
   * A stretch with a finding has a bar along the edges of its channel: both edges for a fault, the
   * lower one for less.
   */
  private void flag(GraphicsContext gc, Box box, int top, Flag flag, ClockLayout layout) {
    boolean one = flag.channel() >= 0 && box.strips() > flag.channel() && box.strips() > 1;
    int high = one ? box.height() / box.strips() : box.height();
    int y = one ? top + flag.channel() * high : top;
    Tone tone = Mark.of(flag.severity()).tone();
    int drawnTo = Integer.MIN_VALUE;
    for (Flag.Stretch stretch : flag.stretches()) {
      int from = Math.max(box.x(), layout.x(stretch.startSeconds()));
      int to = Math.min(box.x() + box.width(), layout.x(stretch.endSeconds()) + 1);
      from = Math.max(from, drawnTo);
      if (to > from) {
        fill(gc, tone, from, y + high - EDGE_BAR, to - from, EDGE_BAR);
        if (flag.severity() == Severity.FAULT) {
          fill(gc, tone, from, y, to - from, EDGE_BAR);
        }
        drawnTo = to;
      }
    }
  }

  private void dashed(GraphicsContext gc, Box box, int top) {
    gc.setFill(theme.colour(Tone.EDGE));
    for (int x = 0; x < box.width(); x += 2 * DASH) {
      int length = Math.min(DASH, box.width() - x);
      gc.fillRect(box.x() + x, top, length, 1);
      gc.fillRect(box.x() + x, top + box.height() - 1.0, length, 1);
    }
    for (int y = 0; y < box.height(); y += 2 * DASH) {
      int length = Math.min(DASH, box.height() - y);
      gc.fillRect(box.x(), top + y, 1, length);
      gc.fillRect(box.x() + box.width() - 1.0, top + y, 1, length);
    }
  }

  /** Draws the frame round the chosen clip, and the keyboard's ring round the picture. */
  void paintChosen(
      Canvas canvas, ClockLayout layout, int scroll, @Nullable SourceRow chosen, boolean focused) {
    GraphicsContext gc = canvas.getGraphicsContext2D();
    int width = (int) canvas.getWidth();
    int height = (int) canvas.getHeight();
    gc.clearRect(0, 0, width, height);
    layout
        .boxOf(chosen)
        .ifPresent(
            box -> {
              int top = box.y() - scroll;
              if (top > ClockLayout.AXIS_HEIGHT) {
                frame(gc, Tone.FOCUS, box.x() - 2, top - 2, box.width() + 4, box.height() + 4, 3);
              }
            });
    if (focused) {
      frame(gc, Tone.FOCUS, 0, 0, width, height, 2);
    }
  }

  private void frame(GraphicsContext gc, Tone tone, int x, int y, int w, int h, int thick) {
    fill(gc, tone, x, y, w, thick);
    fill(gc, tone, x, y + h - thick, w, thick);
    fill(gc, tone, x, y, thick, h);
    fill(gc, tone, x + w - thick, y, thick, h);
  }

  private void fill(GraphicsContext gc, Tone tone, int x, int y, int w, int h) {
    gc.setFill(theme.colour(tone));
    gc.fillRect(x, y, w, h);
  }

  private double width(String text, Font font) {
    ruler.setFont(font);
    ruler.setText(text);
    return ruler.getLayoutBounds().getWidth();
  }

  /** The text, or as much of it as fits before an ellipsis. */
  private String shortened(String text, Font font, double room) {
    if (room <= 0) {
      return "";
    }
    if (width(text, font) <= room) {
      return text;
    }
    int low = 0;
    int high = text.length();
    while (low < high) {
      int middle = (low + high + 1) / 2;
      if (width(text.substring(0, middle) + "\u2026", font) <= room) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    return low == 0 ? "" : text.substring(0, low).stripTrailing() + "\u2026";
  }
}
