package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout.Way;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.DeskModel;
import hardpan.shoot.PictureCount;
import javafx.scene.input.KeyEvent;

/** What the keys do while the picture has the keyboard. */
final class ClockKeys {
  /** Where nothing tells how many pictures a second a clip has. */
  private static final double USUAL_PICTURE_SECONDS = 1 / 25.0;

  private static final double USUAL_SAMPLE_SECONDS = 1 / 48_000.0;
  private static final double PAGE = 0.75;

  private final ClockView view;
  private final DeskModel model;
  private final ClockField field;

  ClockKeys(ClockView view, DeskModel model, ClockField field) {
    this.view = view;
    this.model = model;
    this.field = field;
  }

  void pressed(KeyEvent event) {
    boolean ours = field.scale() != null && !isForTheWindow(event);
    if (ours && isDone(event)) {
      event.consume();
    }
  }

  /**
   * With Control only Left, Right, plus and minus are the picture's; Escape if it has something.
   */
  private boolean isForTheWindow(KeyEvent event) {
    return switch (event.getCode()) {
      case DIGIT0,
          DIGIT1,
          NUMPAD0,
          NUMPAD1,
          N,
          P,
          HOME,
          END,
          ENTER,
          PAGE_UP,
          PAGE_DOWN,
          UP,
          KP_UP,
          DOWN,
          KP_DOWN ->
          event.isShortcutDown();
      case ESCAPE -> model.workingProperty().get() || !view.hasSomethingChosen();
      default -> false;
    };
  }

  private boolean isDone(KeyEvent event) {
    switch (event.getCode()) {
      case LEFT, KP_LEFT -> sideways(event, -1);
      case RIGHT, KP_RIGHT -> sideways(event, 1);
      case UP, KP_UP -> view.point(Way.UP);
      case DOWN, KP_DOWN -> view.point(Way.DOWN);
      case ENTER -> view.choosePointed();
      case ESCAPE -> view.letGo();
      case PLUS, ADD, EQUALS -> view.zoom(ClockView.STEP_CLOSER);
      case MINUS, SUBTRACT -> view.zoom(1 / ClockView.STEP_CLOSER);
      case DIGIT0, NUMPAD0 -> view.fitAll();
      case DIGIT1, NUMPAD1 -> view.fitChosen();
      case HOME -> ends(true);
      case END -> ends(false);
      case PAGE_UP -> page(event, -1);
      case PAGE_DOWN -> page(event, 1);
      case N -> view.toFlag(true);
      case P -> view.toFlag(false);
      default -> {
        return false;
      }
    }
    return true;
  }

  private void page(KeyEvent event, int sign) {
    if (event.isShiftDown()) {
      ClockScale scale = field.scale();
      view.move(scale == null ? 0 : sign * PAGE * scale.pixels());
    } else {
      field.scrollBy(sign * PAGE * field.scrollRoom());
    }
  }

  private void ends(boolean first) {
    field
        .model()
        .ifPresent(clock -> view.showMoment(first ? clock.firstSecond() : clock.lastSecond()));
  }

  private void sideways(KeyEvent event, int sign) {
    ClockScale scale = field.scale();
    ClockModel clock = field.model().orElse(null);
    if (scale == null || clock == null) {
      return;
    }
    if (event.isAltDown()) {
      view.point(sign < 0 ? Way.BACK : Way.ON);
      return;
    }
    double now = model.cursor().secondsProperty().get();
    if (Double.isNaN(now)) {
      view.showMoment(scale.seconds(scale.pixels() / 2.0));
      return;
    }
    ClockItem item = clock.itemOf(model.chosenProperty().get()).orElse(null);
    double step = scale.secondsPerPixel() * field.density();
    if (event.isShortcutDown()) {
      step = item == null ? USUAL_SAMPLE_SECONDS : item.stretch() / item.rateHz();
    } else if (event.isShiftDown()) {
      PictureCount count = item == null ? null : item.count();
      step = count == null ? USUAL_PICTURE_SECONDS : count.pictureSeconds();
    }
    view.showMoment(now + sign * step);
  }
}
