package hardpan.desk.clock;

import javafx.scene.Group;
import javafx.scene.layout.Region;

/**
 * A rectangular frame of four bars. A border would look the same, but is drawn as an outline with
 * smoothed edges round all it encloses, which takes longer than the picture inside of it.
 */
final class BarFrame extends Group {
  private final Region top = new Region();
  private final Region bottom = new Region();
  private final Region left = new Region();
  private final Region right = new Region();

  /**
   * A frame.
   *
   * @param styleClass gives the bars their background
   */
  BarFrame(String styleClass) {
    setManaged(false);
    setAutoSizeChildren(false);
    for (Region bar : new Region[] {top, bottom, left, right}) {
      bar.setManaged(false);
      bar.getStyleClass().add(styleClass);
      getChildren().add(bar);
    }
  }

  /** Where its outer edges are and how thick it is; all in pixels of the window. */
  void place(double x, double y, double width, double height, double thick) {
    top.resizeRelocate(x, y, width, thick);
    bottom.resizeRelocate(x, y + height - thick, width, thick);
    double inside = Math.max(0, height - 2 * thick);
    left.resizeRelocate(x, y + thick, thick, inside);
    right.resizeRelocate(x + width - thick, y + thick, thick, inside);
  }
}
