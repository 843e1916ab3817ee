package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DeskSettingsTest {
  @Test
  void coloursSizeAndPlaceAreRemembered(@TempDir Path folder) throws Exception {
    Path data = folder.resolve("data");
    DeskSettings first = new DeskSettings(data);
    assertThat(first.isDark()).isFalse();
    assertThat(first.place()).isNull();
    DeskSettings.Place place = new DeskSettings.Place(-1200.5, 20, 900, 700, true);
    first.setPlace(place);
    first.setDark(true);
    DeskSettings again = new DeskSettings(data);
    assertThat(again.isDark()).isTrue();
    assertThat(again.place()).isEqualTo(place);
    try (Stream<Path> files = Files.list(data)) {
      assertThat(files.map(file -> file.getFileName().toString()))
          .containsExactly("window.properties");
    }
  }

  @Test
  void nonsenseIsForgotten(@TempDir Path folder) throws Exception {
    Path file = folder.resolve("window.properties");
    for (String text :
        List.of(
            "x=1\ny=2\nwidth=3\nheight=800\n",
            "x=1\ny=2\nwidth=NaN\nheight=800\n",
            "x=1\ny=2\nwidth=900\n",
            "x=left\ny=2\nwidth=900\nheight=800\n",
            "x=\\u00g1\n")) {
      Files.writeString(file, text);
      assertThat(new DeskSettings(folder).place()).as(text).isNull();
    }
  }

  @Test
  void aFolderThatCannotBeWrittenIsNoObstacle(@TempDir Path folder) throws Exception {
    Path inTheWay = Files.writeString(folder.resolve("data"), "a file");
    DeskSettings settings = new DeskSettings(inTheWay);
    settings.setDark(true);
    assertThat(settings.isDark()).isTrue();
    assertThat(Files.readString(inTheWay)).isEqualTo("a file");
  }
}
