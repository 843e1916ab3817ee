package hardpan.desk;

import hardpan.desk.model.Tone;
import java.net.URL;
import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.SimpleBooleanProperty;
import javafx.scene.Parent;
import javafx.scene.paint.Color;

/** Light or dark, for the style sheet and for what is drawn by hand. */
final class Theme {
  private final BooleanProperty dark = new SimpleBooleanProperty();
  private final Map<Tone, Color> light = new EnumMap<>(Tone.class);
  private final Map<Tone, Color> night = new EnumMap<>(Tone.class);

  Theme() {
    for (Tone tone : Tone.values()) {
      light.put(tone, Color.web(tone.hex(false)));
      night.put(tone, Color.web(tone.hex(true)));
    }
  }

  BooleanProperty darkProperty() {
    return dark;
  }

  Color colour(Tone tone) {
    return Objects.requireNonNull((dark.get() ? night : light).get(tone));
  }

  /** Gives a root the style sheet and the colours, now and whenever they change. */
  void dress(Parent root) {
    URL sheet = Objects.requireNonNull(Theme.class.getResource("desk.css"), "desk.css");
    root.getStylesheets().add(sheet.toExternalForm());
    root.getStyleClass().add("hp-root");
    root.setStyle(Tone.declarations(dark.get()));
    dark.addListener((property, before, now) -> root.setStyle(Tone.declarations(now)));
  }
}
