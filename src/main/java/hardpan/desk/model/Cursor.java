package hardpan.desk.model;

import javafx.beans.property.DoubleProperty;
import javafx.beans.property.SimpleDoubleProperty;

/**
 * Two instants on the reference clock, in seconds, shared by everything that shows or plays the
 * shoot; NaN where there is none. Belongs to the window's thread.
 */
public final class Cursor {
  private final DoubleProperty seconds = new SimpleDoubleProperty(Double.NaN);
  private final DoubleProperty heardSeconds = new SimpleDoubleProperty(Double.NaN);

  /** The instant the person points at: where listening starts and what zooming keeps in view. */
  public DoubleProperty secondsProperty() {
    return seconds;
  }

  /** The instant that is heard now; NaN while nothing plays. */
  public DoubleProperty heardSecondsProperty() {
    return heardSeconds;
  }
}
