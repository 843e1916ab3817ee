package hardpan.desk.model;

import java.io.IOException;
import java.io.Reader;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Properties;
import org.jspecify.annotations.Nullable;

/**
 * What the window remembers from one day to the next: colours, size and place. Trouble with the
 * file never stops anything.
 */
public final class DeskSettings {
  private static final String DARK = "dark";
  private static final String MAXIMISED = "maximised";
  private static final int MOST_BYTES = 64 * 1024;
  private static final double LEAST_SIZE = 200;
  private static final double MOST_SIZE = 20_000;

  private final Path file;
  private final Properties values = new Properties();

  /**
   * Reads them.
   *
   * @param folder where they are kept, in {@code window.properties}
   */
  public DeskSettings(Path folder) {
    this.file = folder.resolve("window.properties");
    try {
      if (Files.isRegularFile(file) && Files.size(file) <= MOST_BYTES) {
        try (Reader in = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
          values.load(in);
        }
      }
    } catch (IOException | IllegalArgumentException e) {
      values.clear();
    }
  }

  /**
   * Size and place of the window.
   *
   * @param x left edge on the screen
   * @param y upper edge
   * @param width in the screen's units, positive
   * @param height likewise
   * @param maximised whether it fills the screen
   */
  public record Place(double x, double y, double width, double height, boolean maximised) {}

  /** Whether the window is dark. */
  public boolean isDark() {
    return Boolean.parseBoolean(values.getProperty(DARK, "false"));
  }

  /** Keeps whether the window is dark. */
  public void setDark(boolean dark) {
    values.setProperty(DARK, Boolean.toString(dark));
    write();
  }

  /** Where the window was; null if nobody knows or it makes no sense. */
  public @Nullable Place place() {
    Double x = number("x");
    Double y = number("y");
    Double width = number("width");
    Double height = number("height");
    boolean good = x != null && y != null && isSize(width) && isSize(height);
    return good && x != null && y != null && width != null && height != null
        ? new Place(
            x, y, width, height, Boolean.parseBoolean(values.getProperty(MAXIMISED, "false")))
        : null;
  }

  private static boolean isSize(@Nullable Double size) {
    return size != null && size >= LEAST_SIZE && size <= MOST_SIZE;
  }

  private @Nullable Double number(String key) {
    try {
      String text = values.getProperty(key);
      Double value = text == null ? null : Double.valueOf(text);
      return value != null && Double.isFinite(value) ? value : null;
    } catch (NumberFormatException e) {
      return null;
    }
  }

  /** Keeps where the window is. */
  public void setPlace(Place place) {
    values.setProperty("x", Double.toString(place.x()));
    values.setProperty("y", Double.toString(place.y()));
    values.setProperty("width", Double.toString(place.width()));
    values.setProperty("height", Double.toString(place.height()));
    values.setProperty(MAXIMISED, Boolean.toString(place.maximised()));
    write();
  }

  private void write() {
    try {
      Path folder = file.toAbsolutePath().getParent();
      if (folder == null) {
        return;
      }
      Files.createDirectories(folder);
      Path draft = Files.createTempFile(folder, "window", ".draft");
      try {
        try (Writer out = Files.newBufferedWriter(draft, StandardCharsets.UTF_8)) {
          values.store(out, null);
        }
        Files.move(draft, file, StandardCopyOption.REPLACE_EXISTING);
      } finally {
        Files.deleteIfExists(draft);
      }
    } catch (IOException e) {
      // The window opens as at first, no more than that.
    }
  }
}
