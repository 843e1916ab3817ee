package hardpan.desk;

import hardpan.desk.model.DeskSettings;
import javafx.geometry.Rectangle2D;
import javafx.stage.Screen;
import javafx.stage.Stage;

/** Puts the window where it was on an earlier day, if that can be seen. */
final class WindowPlace {
  /** So much of the window must lie on a screen, so that it can be taken hold of. */
  private static final double LEAST_SEEN = 80;

  private WindowPlace() {}

  static void restore(Stage stage, DeskSettings settings) {
    DeskSettings.Place place = settings.place();
    if (place == null) {
      return;
    }
    stage.setWidth(place.width());
    stage.setHeight(place.height());
    if (isSeen(place)) {
      stage.setX(place.x());
      stage.setY(place.y());
    }
    stage.setMaximized(place.maximised());
  }

  /** Screens come and go. */
  private static boolean isSeen(DeskSettings.Place place) {
    return Screen.getScreens().stream()
        .map(Screen::getVisualBounds)
        .anyMatch(bounds -> isSeen(place, bounds));
  }

  private static boolean isSeen(DeskSettings.Place place, Rectangle2D bounds) {
    return place.x() + place.width() > bounds.getMinX() + LEAST_SEEN
        && place.x() < bounds.getMaxX() - LEAST_SEEN
        && place.y() >= bounds.getMinY()
        && place.y() < bounds.getMaxY() - LEAST_SEEN;
  }

  static void keep(Stage stage, DeskSettings settings) {
    DeskSettings.Place before = settings.place();
    // A window that fills the screen remembers how large it was before.
    settings.setPlace(
        stage.isMaximized() && before != null
            ? new DeskSettings.Place(before.x(), before.y(), before.width(), before.height(), true)
            : new DeskSettings.Place(
                stage.getX(),
                stage.getY(),
                stage.getWidth(),
                stage.getHeight(),
                stage.isMaximized()));
  }
}
