package hardpan.desk;

import hardpan.desk.model.Plot;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Tone;
import javafx.geometry.VPos;
import javafx.scene.AccessibleRole;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.scene.text.Font;
import javafx.scene.text.Text;
import javafx.scene.text.TextAlignment;

/**
 * Paints a {@link Plot}: filled rectangles on whole pixels, because with software drawing they are
 * many times faster than strokes.
 */
final class PlotView extends Region {
  private static final double HEIGHT = 176;
  private static final double SQUARE_HEIGHT = 320;
  private static final int LEFT = 62;
  private static final int RIGHT = 16;
  private static final int TOP = 26;
  private static final int BOTTOM = 36;
  private static final int DOT = 4;
  private static final int STROKE = 9;

  private final Plot plot;
  private final Theme theme;
  private final Canvas canvas = new Canvas();
  private final Font font = Font.font(11);
  private final Text ruler = new Text();

  PlotView(Plot plot, Theme theme) {
    this.plot = plot;
    this.theme = theme;
    ruler.setFont(font);
    getChildren().add(canvas);
    setMinHeight(plot.cells().isEmpty() ? HEIGHT : SQUARE_HEIGHT);
    setMinWidth(0);
    setPrefHeight(getMinHeight());
    setMaxWidth(Double.MAX_VALUE);
    setFocusTraversable(true);
    setAccessibleRole(AccessibleRole.IMAGE_VIEW);
    setAccessibleText(Texts.of("plot.spoken", plot.title(), plot.words()));
    getStyleClass().add("hp-plot");
  }

  @Override
  protected void layoutChildren() {
    double width = Math.floor(getWidth());
    double height = Math.floor(getHeight());
    if (canvas.getWidth() != width || canvas.getHeight() != height) {
      canvas.setWidth(width);
      canvas.setHeight(height);
      paint();
    }
  }

  /** Paints it in the colours of the moment. */
  void paint() {
    GraphicsContext gc = canvas.getGraphicsContext2D();
    int bottom = (int) canvas.getHeight() - BOTTOM;
    int right = (int) canvas.getWidth() - RIGHT;
    if (!plot.cells().isEmpty()) {
      // Left against right is square, so that equal levels lie on the diagonal.
      right = Math.min(right, LEFT + bottom - TOP);
    }
    gc.clearRect(0, 0, canvas.getWidth(), canvas.getHeight());
    if (right - LEFT < 20 || bottom - TOP < 20) {
      return;
    }
    Frame frame = new Frame(gc, right, bottom);
    gc.setFont(font);
    gc.setTextBaseline(VPos.CENTER);
    axes(frame);
    marks(frame);
    for (Plot.Column column : plot.columns()) {
      int from = frame.x(column.from());
      int to = Math.max(from + 1, frame.x(column.to()));
      int top = frame.y(column.height());
      frame.fill(theme.colour(Tone.WAVE), from, top, to - from, bottom - top);
    }
    Color sparse = theme.colour(Tone.WAVE);
    Color dense = theme.colour(Tone.INK);
    for (Plot.Cell cell : plot.cells()) {
      int from = frame.x(cell.fromX());
      int top = frame.y(cell.toY());
      frame.fill(
          sparse.interpolate(dense, cell.share()),
          from,
          top,
          Math.max(1, frame.x(cell.toX()) - from),
          Math.max(1, frame.y(cell.fromY()) - top));
    }
    for (Plot.Dot dot : plot.dots()) {
      int x = frame.x(dot.x());
      int y = frame.y(dot.y());
      if (dot.counted()) {
        frame.fill(theme.colour(Tone.WAVE), x - DOT / 2, y - DOT / 2, DOT, DOT);
      } else {
        frame.fill(theme.colour(Tone.WAVE_ASTRAY), x, y - STROKE / 2, 1, STROKE);
      }
    }
  }

  private void axes(Frame frame) {
    GraphicsContext gc = frame.gc;
    frame.fill(theme.colour(Tone.EDGE), LEFT - 1, frame.bottom, frame.right - LEFT + 1, 1);
    frame.fill(theme.colour(Tone.EDGE), LEFT - 1, TOP, 1, frame.bottom - TOP);
    gc.setTextAlign(TextAlignment.CENTER);
    double taken = -1;
    for (Plot.Tick tick : plot.x().ticks().stream().sorted(PlotView::byPlace).toList()) {
      int x = frame.x(tick.at());
      frame.fill(theme.colour(Tone.HAIR), x, TOP, 1, frame.bottom - TOP);
      frame.fill(theme.colour(Tone.EDGE), x, frame.bottom, 1, 4);
      double half = width(tick.words()) / 2;
      if (x - half > taken) {
        gc.setFill(theme.colour(Tone.SOFT));
        gc.fillText(tick.words(), x, frame.bottom + 11);
        taken = x + half + 4;
      }
    }
    gc.setTextAlign(TextAlignment.RIGHT);
    double lowest = Double.MAX_VALUE;
    for (Plot.Tick tick : plot.y().ticks().stream().sorted(PlotView::byPlace).toList()) {
      int y = frame.y(tick.at());
      frame.fill(theme.colour(Tone.HAIR), LEFT, y, frame.right - LEFT, 1);
      if (y + 6 < lowest) {
        gc.setFill(theme.colour(Tone.SOFT));
        gc.fillText(tick.words(), LEFT - 6, y);
        lowest = y - 6;
      }
    }
    gc.setFill(theme.colour(Tone.SOFT));
    gc.setTextAlign(TextAlignment.RIGHT);
    gc.fillText(plot.x().words(), frame.right, frame.bottom + 27);
    gc.setTextAlign(TextAlignment.LEFT);
    gc.fillText(plot.y().words(), 2, 8);
  }

  private static int byPlace(Plot.Tick one, Plot.Tick other) {
    return Double.compare(one.at(), other.at());
  }

  /** Lines lie behind what was measured, their words above it. */
  private void marks(Frame frame) {
    for (Plot.Line line : plot.lines()) {
      Color colour = theme.colour(line.tone());
      if (line.upright()) {
        int x = frame.x(line.at());
        frame.fill(colour, x, TOP - 4, 1, frame.bottom - TOP + 4);
        frame.fill(colour, x - 2, TOP - 6, 5, 3);
        if (!line.words().isEmpty()) {
          boolean before = x + 8 + width(line.words()) > frame.right;
          frame.gc.setTextAlign(before ? TextAlignment.RIGHT : TextAlignment.LEFT);
          frame.gc.setFill(theme.colour(Tone.INK));
          frame.gc.fillText(line.words(), before ? x - 6 : x + 6, 8);
        }
      } else {
        frame.fill(colour, LEFT, frame.y(line.at()), frame.right - LEFT, 1);
      }
    }
  }

  private double width(String text) {
    ruler.setText(text);
    return ruler.getLayoutBounds().getWidth();
  }

  /** The field inside the axes. */
  private final class Frame {
    final GraphicsContext gc;
    final int right;
    final int bottom;

    Frame(GraphicsContext gc, int right, int bottom) {
      this.gc = gc;
      this.right = right;
      this.bottom = bottom;
    }

    int x(double value) {
      return LEFT + (int) Math.round(plot.x().share(value) * (right - LEFT));
    }

    int y(double value) {
      return bottom - (int) Math.round(plot.y().share(value) * (bottom - TOP));
    }

    void fill(Color colour, int x, int y, int w, int h) {
      gc.setFill(colour);
      gc.fillRect(x, y, w, h);
    }
  }
}
