package hardpan.desk;

import hardpan.desk.model.Mark;
import java.util.Locale;
import javafx.scene.Node;
import javafx.scene.shape.SVGPath;

/** The marks as nodes; the style sheet colours them. */
final class Marks {
  private Marks() {}

  static Node node(Mark mark) {
    SVGPath shape = new SVGPath();
    shape.setContent(mark.path());
    shape.getStyleClass().addAll("hp-mark", styleClass(mark));
    return shape;
  }

  private static String styleClass(Mark mark) {
    return "hp-tone-" + mark.tone().name().toLowerCase(Locale.ROOT);
  }
}
