package hardpan.desk;

import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockLayout.Way;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import java.util.List;
import javafx.beans.binding.Bindings;
import javafx.geometry.Orientation;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.canvas.Canvas;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollBar;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.ScrollEvent;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/**
 * The picture of the shoot. The canvas is as large as what can be seen of it, never as large as the
 * shoot; a second one above it holds what moves, so that choosing a clip redraws no waveform.
 */
final class ClockView {
  private static final double WHEEL_STEP = 40;

  private final DeskModel model;
  private final Canvas picture = new Canvas();
  private final Canvas overlay = new Canvas();
  private final ScrollBar bar = new ScrollBar();
  private final ClockPainter painter;
  private final Field field = new Field();
  private final VBox root;
  private @Nullable ClockLayout layout;

  ClockView(DeskModel model, Theme theme) {
    this.model = model;
    this.painter = new ClockPainter(theme);
    Label title = new Label(Texts.of("clock.title"));
    title.getStyleClass().add("hp-title");
    title.setLabelFor(field);
    bar.setOrientation(Orientation.VERTICAL);
    bar.valueProperty().addListener((property, before, now) -> redraw());
    field.setId("clock");
    field.setFocusTraversable(true);
    field.setAccessibleRole(AccessibleRole.NODE);
    field.setAccessibleRoleDescription(Texts.of("clock.role"));
    field
        .accessibleTextProperty()
        .bind(
            Bindings.createStringBinding(
                this::spoken, model.chosenProperty(), model.shootProperty()));
    field.setOnMousePressed(this::pressed);
    field.setOnKeyPressed(this::keyed);
    field.setOnScroll(this::scrolled);
    field.focusedProperty().addListener((property, before, now) -> redrawOverlay());
    model.shootProperty().addListener((property, before, now) -> renew());
    model.chosenProperty().addListener((property, before, now) -> reveal(now));
    theme.darkProperty().addListener((property, before, now) -> redraw());
    VBox.setVgrow(field, Priority.ALWAYS);
    root = new VBox(title, field);
    root.getStyleClass().add("hp-pane");
  }

  private String spoken() {
    ShownShoot shown = model.shootProperty().get();
    return shown == null ? "" : shown.clock().spoken(model.chosenProperty().get());
  }

  private void pressed(MouseEvent event) {
    field.requestFocus();
    ClockLayout now = layout;
    if (now != null) {
      now.at(event.getX(), event.getY() + scroll())
          .ifPresent(item -> model.chosenProperty().set(item.row()));
    }
    event.consume();
  }

  private void scrolled(ScrollEvent event) {
    if (bar.isVisible()) {
      double to = bar.getValue() - Math.signum(event.getDeltaY()) * WHEEL_STEP;
      bar.setValue(Math.max(bar.getMin(), Math.min(bar.getMax(), to)));
      event.consume();
    }
  }

  private void keyed(KeyEvent event) {
    Way way =
        switch (event.getCode()) {
          case LEFT -> Way.BACK;
          case RIGHT -> Way.ON;
          case UP -> Way.UP;
          case DOWN -> Way.DOWN;
          case HOME -> Way.FIRST;
          case END -> Way.LAST;
          default -> null;
        };
    ClockLayout now = layout;
    if (way != null && now != null) {
      now.step(model.chosenProperty().get(), way).ifPresent(model.chosenProperty()::set);
      event.consume();
    }
  }

  private int scroll() {
    return bar.isVisible() ? (int) Math.round(bar.getValue()) : 0;
  }

  /** Scrolls so that the chosen clip can be seen. */
  private void reveal(@Nullable SourceRow row) {
    ClockLayout now = layout;
    if (now != null && bar.isVisible()) {
      now.boxOf(row)
          .ifPresent(
              box -> {
                double top = box.y() - ClockLayout.LABEL_HEIGHT - ClockLayout.AXIS_HEIGHT - 8.0;
                double bottom = box.y() + box.height() + 8.0 - picture.getHeight();
                double to = Math.min(top, Math.max(bottom, bar.getValue()));
                bar.setValue(Math.max(bar.getMin(), Math.min(bar.getMax(), to)));
              });
    }
    redrawOverlay();
  }

  private void renew() {
    bar.setValue(0);
    layout = null;
    field.requestLayout();
    arrange(field.getWidth(), field.getHeight());
  }

  private void arrange(double width, double height) {
    ShownShoot shown = model.shootProperty().get();
    int wide = (int) Math.floor(width);
    int high = (int) Math.floor(height);
    if (shown == null || wide < 1 || high < 1) {
      return;
    }
    ClockModel clock = shown.clock();
    ClockLayout whole = new ClockLayout(clock, wide);
    boolean scrolls = whole.height() > high;
    int barWidth = (int) Math.ceil(bar.prefWidth(-1));
    if (scrolls) {
      whole = new ClockLayout(clock, wide - barWidth);
      bar.setMax(whole.height() - high);
      bar.setVisibleAmount(bar.getMax() * high / whole.height());
      bar.setBlockIncrement(high);
      bar.setUnitIncrement(WHEEL_STEP);
      bar.setValue(Math.min(bar.getValue(), bar.getMax()));
      bar.resizeRelocate(wide - barWidth, 0, barWidth, high);
    }
    bar.setVisible(scrolls);
    layout = whole;
    for (Canvas canvas : List.of(picture, overlay)) {
      canvas.setWidth(whole.width());
      canvas.setHeight(high);
    }
    redraw();
  }

  private void redraw() {
    ClockLayout now = layout;
    if (now != null) {
      painter.paint(picture, now, scroll());
      redrawOverlay();
    }
  }

  private void redrawOverlay() {
    ClockLayout now = layout;
    if (now != null) {
      painter.paintChosen(overlay, now, scroll(), model.chosenProperty().get(), field.isFocused());
    }
  }

  Node root() {
    return root;
  }

  /** Holds the canvases and lays them out anew when its size changes. */
  private final class Field extends Region {
    Field() {
      getStyleClass().add("hp-clock");
      overlay.setMouseTransparent(true);
      getChildren().addAll(picture, overlay, bar);
      setMinHeight(80);
    }

    @Override
    protected void layoutChildren() {
      if (layout == null
          || picture.getHeight() != Math.floor(getHeight())
          || picture.getWidth() + (bar.isVisible() ? bar.getWidth() : 0)
              != Math.floor(getWidth())) {
        arrange(getWidth(), getHeight());
      }
    }
  }
}
