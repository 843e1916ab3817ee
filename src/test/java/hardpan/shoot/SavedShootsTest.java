package hardpan.shoot;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
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

  private static final Instant NOW = Instant.parse("2026-11-25T20:00:00Z");

  private Path kept(SavedShoots shoots, String name, int daysAgo, boolean there) throws Exception {
    Path root = folder.resolve("media").resolve(name);
    if (there) {
      Files.createDirectories(root);
    }
    Instant when = NOW.minus(Duration.ofDays(daysAgo));
    Path file = shoots.fileFor(List.of(root));
    Files.createDirectories(shoots.folder());
    Files.write(file, new byte[1000]);
    Files.write(Path.of(file + "-wal"), new byte[100]);
    Files.setLastModifiedTime(file, FileTime.from(when));
    shoots.opened(new SavedShoots.Recent(name, List.of(root), when));
    return file;
  }

  @Test
  void shootsWhoseFoldersAreGoneForLongAreForgotten() throws Exception {
    SavedShoots shoots = new SavedShoots(folder.resolve("data"));
    Path gone = kept(shoots, "gone", 400, false);
    Path there = kept(shoots, "there", 400, true);
    Path lately = kept(shoots, "lately", 300, false);
    Path open = kept(shoots, "open", 500, false);
    shoots.tidy(NOW, open, SavedShoots.USUAL);
    assertThat(gone).doesNotExist();
    assertThat(Path.of(gone + "-wal")).doesNotExist();
    assertThat(List.of(there, lately, open)).allMatch(Files::exists);
    assertThat(shoots.recent()).extracting(SavedShoots.Recent::name).doesNotContain("gone");
    assertThat(shoots.recent()).hasSize(3);
  }

  @Test
  void ofTooManyTheOldestAreForgottenButNoneOfThisMonth() throws Exception {
    SavedShoots shoots = new SavedShoots(folder.resolve("data"));
    List<Path> files = new ArrayList<>();
    for (int i = 0; i < 8; i++) {
      files.add(kept(shoots, "shoot" + i, 10 * (i + 1), true));
    }
    Duration month = Duration.ofDays(30);
    Duration year = Duration.ofDays(365);
    shoots.tidy(NOW, files.get(7), new SavedShoots.Bounds(month, year, 5, 1L << 40));
    assertThat(files.subList(0, 5)).allMatch(Files::exists);
    assertThat(files.get(5)).doesNotExist();
    assertThat(files.get(6)).doesNotExist();
    assertThat(files.get(7)).exists();
    // Each takes 1,100 bytes with its log.
    shoots.tidy(NOW, files.get(0), new SavedShoots.Bounds(month, year, 100, 1100));
    assertThat(files.subList(0, 2)).allMatch(Files::exists);
    assertThat(files.subList(3, 8)).noneMatch(Files::exists);
  }

  @Test
  void nothingElseInTheFolderIsEverRemoved() throws Exception {
    Path data = Files.createDirectories(folder.resolve("data"));
    SavedShoots shoots = new SavedShoots(data);
    Path elsewhere = Files.write(folder.resolve("own-0123456789abcdef.hardpan"), new byte[9]);
    Path link = data.resolve("link-0123456789abcdef.hardpan");
    Files.createSymbolicLink(link, elsewhere);
    Path below = Files.createDirectories(data.resolve("more"));
    List<Path> others = new ArrayList<>(List.of(elsewhere, link));
    for (Path other :
        List.of(
            data.resolve("shoot.hardpan"),
            data.resolve("window.properties"),
            data.resolve("x-0123456789abcdef.hardpan.bak"),
            below.resolve("deep-0123456789abcdef.hardpan"))) {
      others.add(Files.write(other, new byte[9]));
    }
    Path dir = Files.createDirectories(data.resolve("dir-0123456789abcdef.hardpan"));
    others.add(dir);
    Path own = Files.write(data.resolve("own-0123456789abcdef.hardpan"), new byte[9]);
    for (Path one : List.of(own, elsewhere, data.resolve("shoot.hardpan"))) {
      Files.setLastModifiedTime(one, FileTime.from(NOW.minus(Duration.ofDays(5000))));
    }
    shoots.tidy(NOW, data, new SavedShoots.Bounds(Duration.ZERO, Duration.ZERO, 0, 0));
    assertThat(own).doesNotExist();
    assertThat(others).allMatch(other -> Files.exists(other));
    shoots.tidy(NOW, List.of(data));
    new SavedShoots(folder.resolve("nowhere")).tidy(NOW, List.of(data));
    assertThat(folder.resolve("nowhere")).doesNotExist();
  }

  @Test
  void moreIsRememberedThanIsShownAndNeverMoreThanCanBeReadBack() throws Exception {
    SavedShoots shoots = new SavedShoots(folder.resolve("data"));
    for (int i = 0; i < 20; i++) {
      shoots.opened(recent("n" + i, i));
    }
    assertThat(Files.readString(folder.resolve("data/recent.json"))).contains("\"n0\"");
    List<Path> many = new ArrayList<>();
    for (int i = 0; i < 4000; i++) {
      many.add(folder.resolve("a-long-name-of-a-single-clip-" + "x".repeat(150) + i));
    }
    shoots.opened(new SavedShoots.Recent("many", many, NOW));
    shoots.opened(new SavedShoots.Recent("many more", many.subList(1, 4000), NOW.plusSeconds(1)));
    assertThat(shoots.recent().get(0).name()).isEqualTo("many more");
  }

  @Test
  void aSavedShootIsKnownByTheEndOfItsName() throws Exception {
    Path folderOfThatName = Files.createDirectories(folder.resolve("odd.hardpan"));
    assertThat(SavedShoots.isSavedShoot(folderOfThatName)).isFalse();
    assertThat(SavedShoots.isSavedShoot(folder.resolve("supper.HARDPAN"))).isTrue();
    assertThat(SavedShoots.isSavedShoot(folder.resolve("hardpan"))).isFalse();
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
