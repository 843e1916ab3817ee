package hardpan.desk.clock;

import hardpan.desk.model.Mark;
import java.util.Arrays;
import javafx.geometry.VPos;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.text.Font;
import javafx.scene.text.FontWeight;
import javafx.scene.text.Text;

/**
 * Writes words into a given room. Widths are summed from the widths of single letters, which are
 * measured once: measuring whole words anew for every picture would take longer than drawing them.
 */
final class Lettering {
  private static final double TEXT_SIZE = 12;
  private static final double MARK_FIELD = 12;
  private static final double MARK_SHARE = 0.85;
  private static final double AFTER_MARK = 4;
  private static final String MORE = "\u2026";

  private final double density;
  private final Font plain;
  private final Font strong;

  /** By letter; NaN for one that was not measured yet. */
  private final double[] plainWidths = unmeasured();

  private final double[] strongWidths = unmeasured();
  private final Text ruler = new Text();

  Lettering(double density) {
    this.density = density;
    this.plain = Font.font(TEXT_SIZE * density);
    this.strong = Font.font(plain.getFamily(), FontWeight.BOLD, TEXT_SIZE * density);
  }

  double width(String text, boolean bold) {
    double sum = 0;
    for (int i = 0; i < text.length(); i++) {
      sum += width(text.charAt(i), bold);
    }
    return sum;
  }

  private static double[] unmeasured() {
    double[] widths = new double[Character.MAX_VALUE + 1];
    Arrays.fill(widths, Double.NaN);
    return widths;
  }

  private double width(char letter, boolean bold) {
    double[] widths = bold ? strongWidths : plainWidths;
    double known = widths[letter];
    if (Double.isNaN(known)) {
      known = measured(letter, bold);
      widths[letter] = known;
    }
    return known;
  }

  private double measured(char letter, boolean bold) {
    // Between two others, since spaces at an end are not measured.
    ruler.setFont(bold ? strong : plain);
    ruler.setText("n" + letter + "n");
    double three = ruler.getLayoutBounds().getWidth();
    ruler.setText("nn");
    return three - ruler.getLayoutBounds().getWidth();
  }

  /** The text, or as much of it as fits before an ellipsis; empty if not even a letter does. */
  String fitting(String text, boolean bold, double room) {
    if (width(text, bold) <= room) {
      return text;
    }
    double left = room - width(MORE, bold);
    int fits = 0;
    while (fits < text.length()) {
      left -= width(text.charAt(fits), bold);
      if (left < 0) {
        break;
      }
      fits++;
    }
    return fits == 0 ? "" : text.substring(0, fits).stripTrailing() + MORE;
  }

  /**
   * Writes as much as fits.
   *
   * @param middle height of the letters' middle
   * @return where it ends
   */
  double write(
      GraphicsContext gc, String text, boolean bold, double x, double middle, double until) {
    String fitting = fitting(text, bold, until - x);
    if (fitting.isEmpty()) {
      return x;
    }
    gc.setFont(bold ? strong : plain);
    gc.setTextBaseline(VPos.CENTER);
    gc.fillText(fitting, Math.rint(x), Math.rint(middle));
    return x + width(fitting, bold);
  }

  /**
   * Draws a shape, if there is room for it.
   *
   * @return where what follows may begin
   */
  double mark(
      GraphicsContext gc, Palette palette, Mark mark, double x, double middle, double until) {
    double size = MARK_FIELD * MARK_SHARE * density;
    if (x + size > until) {
      return x;
    }
    gc.save();
    gc.translate(Math.rint(x), Math.rint(middle - size / 2));
    gc.scale(MARK_SHARE * density, MARK_SHARE * density);
    gc.setFill(palette.colour(mark.tone()));
    gc.beginPath();
    gc.appendSVGPath(mark.path());
    gc.fill();
    gc.restore();
    return x + size + AFTER_MARK * density;
  }
}
