package hardpan.desk.clock;

import hardpan.desk.model.Tone;
import java.util.EnumMap;
import java.util.Map;
import java.util.function.Function;
import javafx.scene.paint.Color;

/** The colours of the window as they are now, ready for pixels and for text. */
final class Palette {
  private final Map<Tone, Color> colours = new EnumMap<>(Tone.class);
  private final Map<Tone, Integer> argb = new EnumMap<>(Tone.class);

  Palette(Function<Tone, Color> lookUp) {
    for (Tone tone : Tone.values()) {
      Color colour = lookUp.apply(tone);
      colours.put(tone, colour);
      argb.put(tone, Raster.argb(colour));
    }
  }

  Color colour(Tone tone) {
    return colours.getOrDefault(tone, Color.BLACK);
  }

  int argb(Tone tone) {
    return argb.getOrDefault(tone, 0xff000000);
  }
}
