package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import hardpan.media.SourceFinder;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

@NullUnmarked
class SourcePathsTest {
  @TempDir Path folder;

  @Test
  void oneFolderGivesPathsFromThere() throws IOException {
    make("supper/CAM-A/a.mov", "supper/t.wav");
    assertEquals(List.of("CAM-A/a.mov", "t.wav"), paths(folder.resolve("supper")));
  }

  @Test
  void severalFoldersLendTheirNames() throws IOException {
    make("CAM-A/clip1.mov", "CAM-B/clip1.mov", "REC/t.wav");
    assertEquals(
        List.of("CAM-A/clip1.mov", "CAM-B/clip1.mov", "REC/t.wav"),
        paths(folder.resolve("CAM-A"), folder.resolve("CAM-B"), folder.resolve("REC")));
  }

  @Test
  void foldersOfTheSameNameAreNumbered() throws IOException {
    make("one/CARD/clip1.mov", "two/CARD/clip1.mov", "CARD-2/clip1.mov");
    assertEquals(
        List.of("CARD/clip1.mov", "CARD-2/clip1.mov", "CARD-2-2/clip1.mov"),
        paths(folder.resolve("one/CARD"), folder.resolve("two/CARD"), folder.resolve("CARD-2")));
  }

  @Test
  void filesOfTheSameNameTakeTheirFoldersName() throws IOException {
    make("A/x.wav", "B/x.wav", "C/B/x.wav");
    assertEquals(
        List.of("x.wav", "B/x.wav", "2/B/x.wav"),
        paths(folder.resolve("A/x.wav"), folder.resolve("B/x.wav"), folder.resolve("C/B/x.wav")));
  }

  @Test
  void aFileBesideAFolderKeepsItsBareName() throws IOException {
    make("supper/CAM-A/a.mov", "elsewhere/t.wav");
    assertEquals(
        List.of("CAM-A/a.mov", "t.wav"),
        paths(folder.resolve("supper"), folder.resolve("elsewhere/t.wav")));
  }

  @Test
  void theShootIsCalledAfterItsFolder() throws IOException {
    make("supper/CAM-A/a.mov", "supper/CAM-B/b.mov", "other/t.wav");
    Path supper = folder.resolve("supper");
    assertEquals("supper", SourcePaths.shootName(List.of(supper)));
    assertEquals("supper", SourcePaths.shootName(List.of(supper.resolve("CAM-A/../."))));
    assertEquals("supper", SourcePaths.shootName(List.of(supper, folder.resolve("other/t.wav"))));
    assertEquals(
        "supper", SourcePaths.shootName(List.of(supper.resolve("CAM-A"), supper.resolve("CAM-B"))));
    assertEquals(
        "CAM-A", SourcePaths.shootName(List.of(supper.resolve("CAM-A"), folder.resolve("other"))));
    assertEquals(
        "supper",
        SourcePaths.shootName(
            List.of(
                supper.resolve("CAM-A"), supper.resolve("CAM-B"), folder.resolve("other/t.wav"))));
    assertEquals("CAM-A", SourcePaths.shootName(List.of(supper.resolve("CAM-A/a.mov"))));
    assertEquals("shoot", SourcePaths.shootName(List.of(folder.getRoot())));
  }

  private List<String> paths(Path... roots) {
    List<Path> given = List.of(roots);
    return List.copyOf(SourcePaths.of(SourceFinder.find(given).candidates(), given).values());
  }

  private void make(String... files) throws IOException {
    for (String name : files) {
      Path file = folder.resolve(name);
      Files.createDirectories(file.getParent());
      Files.writeString(file, "x");
    }
  }
}
