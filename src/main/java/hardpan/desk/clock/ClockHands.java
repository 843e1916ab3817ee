package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.DeskModel;
import java.util.Optional;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.ScrollEvent;
import javafx.scene.input.ZoomEvent;

/** What mouse, wheel and fingers do in the picture. */
final class ClockHands {
  private static final double NOTCH_CLOSER = 1.25;
  private static final double NOTCH_PIXELS = 40;

  /** A hand is sure of so many pixels of the window. */
  private static final double SURE_PIXELS = 5;

  private final ClockView view;
  private final DeskModel model;
  private final ClockField field;
  private boolean inStrip;

  ClockHands(ClockView view, DeskModel model, ClockField field) {
    this.view = view;
    this.model = model;
    this.field = field;
  }

  void listen() {
    field.setOnMousePressed(this::pressed);
    field.setOnMouseDragged(this::dragged);
    field.setOnScroll(this::scrolled);
    field.setOnZoom(this::pinched);
  }

  private void pressed(MouseEvent event) {
    field.requestFocus();
    event.consume();
    if (event.getButton() != MouseButton.PRIMARY) {
      return;
    }
    inStrip = field.isInStrip(event.getY());
    place(event);
    if (!inStrip) {
      at(event).ifPresent(item -> model.chosenProperty().set(item.row()));
      if (event.getClickCount() == 2) {
        view.fitChosen();
      }
    }
  }

  private void dragged(MouseEvent event) {
    if (event.isPrimaryButtonDown()) {
      place(event);
      event.consume();
    }
  }

  /** The cursor goes where the hand is; in the strip of the whole shoot, what is seen does. */
  private void place(MouseEvent event) {
    ClockScale scale = field.scale();
    ClockModel clock = field.model().orElse(null);
    if (scale == null || clock == null) {
      return;
    }
    double x = event.getX() * field.density();
    if (inStrip) {
      ClockScale all = ClockScale.fit(clock.firstSecond(), clock.lastSecond(), scale.pixels());
      field.show(scale.centred(all.seconds(x), clock));
    } else {
      double inside = Math.max(0, Math.min(scale.pixels() - 1.0, x));
      double seconds = scale.seconds(inside);
      model
          .cursor()
          .secondsProperty()
          .set(Math.max(clock.firstSecond(), Math.min(clock.lastSecond(), seconds)));
    }
  }

  private Optional<ClockItem> at(MouseEvent event) {
    ClockScale scale = field.scale();
    ClockLayout layout = field.layoutNow();
    if (scale == null || layout == null) {
      return Optional.empty();
    }
    double density = field.density();
    return layout.at(
        scale.seconds(event.getX() * density),
        field.layoutY(event.getY()),
        SURE_PIXELS * density * scale.secondsPerPixel());
  }

  private void scrolled(ScrollEvent event) {
    double along = event.getDeltaX();
    double down = event.getDeltaY();
    if (event.isShortcutDown() || event.isControlDown()) {
      double notches = (down == 0 ? along : down) / NOTCH_PIXELS;
      view.zoomAt(Math.pow(NOTCH_CLOSER, notches), event.getX() * field.density());
    } else if (event.isShiftDown()) {
      view.move(-(down == 0 ? along : down) * field.density());
    } else {
      if (along != 0) {
        view.move(-along * field.density());
      }
      field.scrollBy(-down);
    }
    event.consume();
  }

  private void pinched(ZoomEvent event) {
    view.zoomAt(event.getZoomFactor(), event.getX() * field.density());
    event.consume();
  }
}
