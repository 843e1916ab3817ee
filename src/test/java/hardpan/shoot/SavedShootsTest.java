package hardpan.shoot;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

@NullUnmarked
class SavedShootsTest {
  @TempDir Path folder;

  /** XDG Base Directory Specification 0.8: unset, empty and relative values mean the default. */
  @ParameterizedTest
  @CsvSource({
    "Linux, /home/ida/data, /home/ida/data/hardpan",
    "Linux, , /home/ida/.local/share/hardpan",
    "Linux, data, /home/ida/.local/share/hardpan",
    "Mac OS X, /elsewhere, /home/ida/Library/Application Support/Hardpan"
  })
  void theFolderIsWhereTheSystemWantsIt(String system, String xdg, String expected) {
    Map<String, String> environment = xdg == null ? Map.of() : Map.of("XDG_DATA_HOME", xdg);
    assertThat(SavedShoots.dataFolder(system, environment, Path.of("/home/ida")))
        .isEqualTo(Path.of(expected));
  }

  @Test
  void onWindowsItIsTheRoamingFolder() {
    Path home = Path.of("/users/ida");
    assertThat(SavedShoots.dataFolder("Windows 11", Map.of("APPDATA", "/roaming"), home))
        .isEqualTo(Path.of("/roaming/Hardpan"));
    assertThat(SavedShoots.dataFolder("Windows 11", Map.of(), home))
        .isEqualTo(home.resolve("AppData/Roaming/Hardpan"));
  }

  @Test
  void theSameFoldersHaveTheSameFileWhateverTheirOrder() throws Exception {
    SavedShoots shoots = new SavedShoots(folder);
    Path one = folder.resolve("a/Wedding \u00d8st");
    Path two = folder.resolve("b");
    assertThat(shoots.fileFor(List.of(one, two))).isEqualTo(shoots.fileFor(List.of(two, one)));
    assertThat(shoots.fileFor(List.of(one))).isNotEqualTo(shoots.fileFor(List.of(two)));
    Path same = folder.resolve("a/../a/Wedding \u00d8st");
    assertThat(shoots.fileFor(List.of(same))).isEqualTo(shoots.fileFor(List.of(one)));
    assertThat(shoots.fileFor(List.of(one)).getParent()).isEqualTo(folder);
    Path missing = shoots.fileFor(List.of(two));
    Files.createDirectory(two);
    assertThat(shoots.fileFor(List.of(two))).isEqualTo(missing);
    assertThat(shoots.fileFor(List.of(one)).getFileName().toString())
        .matches("[A-Za-z0-9._-]+-[0-9a-f]{16}\\.hardpan");
  }

  private SavedShoots.Recent recent(String name, int second) {
    return new SavedShoots.Recent(
        name,
        List.of(folder.resolve(name)),
        Instant.parse("2026-05-16T20:00:00Z").plusSeconds(second));
  }

  @Test
  void theLatestComesFirstAndOnce() throws Exception {
    SavedShoots shoots = new SavedShoots(folder.resolve("data"));
    assertThat(shoots.recent()).isEmpty();
    shoots.opened(recent("choir", 1));
    shoots.opened(recent("fair", 2));
    shoots.opened(recent("choir", 3));
    assertThat(shoots.recent()).containsExactly(recent("choir", 3), recent("fair", 2));
    assertThat(shoots.recent().get(0).isMissing()).isTrue();
    Files.createDirectory(folder.resolve("choir"));
    assertThat(shoots.recent().get(0).isMissing()).isFalse();
    shoots.forget(recent("choir", 3));
    assertThat(shoots.recent()).containsExactly(recent("fair", 2));
    for (int i = 0; i < 30; i++) {
      shoots.opened(recent("n" + i, 10 + i));
    }
    assertThat(shoots.recent()).hasSize(12);
    assertThat(shoots.recent().get(0).name()).isEqualTo("n29");
    try (Stream<Path> files = Files.list(folder.resolve("data"))) {
      assertThat(files).hasSize(1);
    }
  }

  @Test
  void aDamagedListIsEmptyAndIsWrittenAnew() throws Exception {
    SavedShoots shoots = new SavedShoots(folder);
    shoots.opened(recent("choir", 1));
    Path list = folder.resolve("recent.json");
    String whole = Files.readString(list);
    for (String broken :
        List.of(whole.substring(0, whole.length() / 2), "", "[{}]", whole.replace("2026", "x"))) {
      Files.writeString(list, broken);
      assertThat(shoots.recent()).as(broken).isEmpty();
    }
    shoots.opened(recent("fair", 2));
    assertThat(shoots.recent()).containsExactly(recent("fair", 2));
  }
}
