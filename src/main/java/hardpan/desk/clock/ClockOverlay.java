package hardpan.desk.clock;

import hardpan.desk.model.ClockLayout;
import javafx.geometry.BoundingBox;
import javafx.scene.Group;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Region;
import javafx.scene.shape.Circle;
import javafx.scene.shape.Line;
import javafx.scene.shape.Rectangle;
import org.jspecify.annotations.Nullable;

/**
 * What moves over the picture: frames round the chosen source and the one pointed at, the cursor (a
 * thin unbroken line; its time stands below the picture), what is heard (a dashed line with a
 * ring).
 */
final class ClockOverlay extends Pane {
  private static final double RING_ABOVE = 6;
  private static final double AROUND = 3;

  /** Thickness of the frames' bars, in pixels of the window. */
  private static final double CHOSEN = 3;

  private static final double RING = 1;
  private static final double FOCUSED_RING = 2;

  private final Rectangle line = new Rectangle();
  private final Group cursor = new Group(line);
  private final Line dashes = new Line();
  private final Circle ring = new Circle(4.5);
  private final Group heard = new Group(dashes, ring);
  private final BarFrame chosen = new BarFrame("hp-clock-chosen");
  private final Region pointed = new Region();
  private final Rectangle chosenClip = new Rectangle();
  private final Rectangle pointedClip = new Rectangle();
  private final BarFrame edge = new BarFrame("hp-clock-ring");
  private boolean focused;

  ClockOverlay() {
    setMouseTransparent(true);
    line.getStyleClass().add("hp-clock-cursor");
    dashes.getStyleClass().add("hp-clock-heard");
    dashes.getStrokeDashArray().setAll(5.0, 5.0);
    ring.getStyleClass().add("hp-clock-heard");
    pointed.getStyleClass().add("hp-clock-pointed");
    pointed.setManaged(false);
    Pane chosenFrame = new Pane(chosen);
    chosenFrame.setClip(chosenClip);
    Pane pointedFrame = new Pane(pointed);
    pointedFrame.setClip(pointedClip);
    cursor.setManaged(false);
    heard.setManaged(false);
    cursor.setVisible(false);
    heard.setVisible(false);
    chosen.setVisible(false);
    pointed.setVisible(false);
    getChildren().addAll(chosenFrame, pointedFrame, heard, cursor, edge);
  }

  void size(double width, double height) {
    resizeRelocate(0, 0, width, height);
    ring();
  }

  /** Round all of it: thicker while it has the keyboard. */
  void showFocused(boolean now) {
    focused = now;
    ring();
  }

  private void ring() {
    edge.place(0, 0, getWidth(), getHeight(), focused ? FOCUSED_RING : RING);
  }

  void frames(
      ClockFrame frame, ClockLayout.@Nullable Box chosenBox, ClockLayout.@Nullable Box pointedBox) {
    chosen.setVisible(chosenBox != null);
    if (chosenBox != null) {
      clip(chosenClip, frame, chosenBox);
      BoundingBox box = around(frame, chosenBox);
      chosen.place(box.getMinX(), box.getMinY(), box.getWidth(), box.getHeight(), CHOSEN);
    }
    pointed.setVisible(pointedBox != null);
    if (pointedBox != null) {
      clip(pointedClip, frame, pointedBox);
      BoundingBox box = around(frame, pointedBox);
      pointed.resizeRelocate(box.getMinX(), box.getMinY(), box.getWidth(), box.getHeight());
    }
  }

  /** A frame ends where what it is about does. */
  private void clip(Rectangle clip, ClockFrame frame, ClockLayout.Box box) {
    double top = frame.top(box.y()) / frame.density();
    clip.setY(top);
    clip.setWidth(getWidth());
    clip.setHeight(Math.max(0, getHeight() - top));
  }

  private static BoundingBox around(ClockFrame frame, ClockLayout.Box box) {
    int width = frame.scale().pixels();
    int left = ClockPainter.left(frame.scale(), box.item().startSeconds());
    int right = ClockPainter.right(frame, box.item().startSeconds(), box.item().endSeconds());
    // Far beyond the edges nothing needs to be as long as it is.
    double from = Math.max(left, -width) / frame.density() - AROUND;
    double to = Math.min(right, 2 * width) / frame.density() + AROUND;
    double y = frame.y(box.y()) / frame.density() - AROUND;
    return new BoundingBox(from, y, to - from, box.height() / frame.density() + 2 * AROUND);
  }

  void cursors(ClockFrame frame, double seconds, double heardSeconds) {
    double top = frame.stripHeight() / frame.density();
    boolean seen = frame.scale().shows(seconds);
    cursor.setVisible(seen);
    if (seen) {
      double thin = frame.px(1) / frame.density();
      line.setWidth(thin);
      double below = frame.headHeight() / frame.density();
      line.setY(below);
      line.setHeight(Math.max(0, getHeight() - below));
      cursor.setLayoutX(frame.scale().pixel(seconds) / frame.density());
    }
    boolean sounds = frame.scale().shows(heardSeconds);
    heard.setVisible(sounds);
    if (sounds) {
      dashes.setStartY(top);
      dashes.setEndY(getHeight());
      ring.setCenterY(frame.headHeight() / frame.density() - RING_ABOVE);
      heard.setLayoutX(frame.scale().pixel(heardSeconds) / frame.density());
    }
  }
}
