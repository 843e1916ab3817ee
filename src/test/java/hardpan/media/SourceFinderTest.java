package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.media.SourceFinder.Found;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SourceFinderTest {
  private static void touch(Path root, String... names) throws IOException {
    for (String name : names) {
      Path file = root.resolve(name);
      Files.createDirectories(file.getParent());
      Files.writeString(file, "x");
    }
  }

  private static List<String> paths(Found found) {
    return found.candidates().stream().map(SourceFinder.Candidate::relativePath).toList();
  }

  private static String leftOut(Found found) {
    return found.leftOut().stream()
        .map(file -> file.relativePath() + ": " + file.reason())
        .collect(Collectors.joining("\n"));
  }

  @Test
  void mediaIsFoundByNameInAStableOrder(@TempDir Path root) throws Exception {
    touch(
        root,
        "b.MOV",
        "CAM-A/a2.mp4",
        "CAM-A/a1.mp4",
        "REC/take-01.wav",
        "a.txt",
        "REC/._x.wav",
        "PRIVATE/AVCHD/BDMV/STREAM/00000.MTS",
        "notes");
    Found found = SourceFinder.find(List.of(root));
    assertEquals(
        List.of(
            "CAM-A/a1.mp4",
            "CAM-A/a2.mp4",
            "PRIVATE/AVCHD/BDMV/STREAM/00000.MTS",
            "REC/take-01.wav",
            "b.MOV"),
        paths(found));
    assertEquals(
        "REC/._x.wav: the side part of another file, without sound\na.txt: not a media file by its name\n"
            + "notes: not a media file by its name",
        leftOut(found));
    assertEquals(root.resolve("CAM-A").resolve("a1.mp4"), found.candidates().get(0).path());
    assertEquals(found, SourceFinder.find(List.of(root)));
  }

  @Test
  void namedFilesAreTakenWhateverTheyAreCalled(@TempDir Path root) throws Exception {
    touch(root, "strange.xyz", ".hidden.mov", "a.mov");
    Path missing = root.resolve("missing.mov");
    Found found =
        SourceFinder.find(
            List.of(root.resolve("strange.xyz"), root.resolve(".hidden.mov"), missing, root));
    assertEquals(List.of("strange.xyz", ".hidden.mov", "missing.mov", "a.mov"), paths(found));
  }

  @Test
  void nothingIsListedTwiceAndLoopsEnd(@TempDir Path root) throws Exception {
    touch(root, "A/a.mov", "B/b.mov");
    Files.createSymbolicLink(root.resolve("A/loop"), root);
    Files.createSymbolicLink(root.resolve("Z"), root.resolve("B"));
    Files.createSymbolicLink(root.resolve("broken.mov"), root.resolve("nowhere"));
    Found found = SourceFinder.find(List.of(root, root, root.resolve("A")));
    assertEquals(List.of("A/a.mov", "B/b.mov", "broken.mov"), paths(found));
  }

  @Test
  void anEarlierHandOverIsLeftOut(@TempDir Path root) throws Exception {
    touch(root, "CAM/a.mov", "out/lane.wav", "web/b.wav");
    Files.writeString(root.resolve("out/report.json"), "{ \"format\": \"hardpan-report\" }");
    Files.writeString(root.resolve("web/report.json"), "{ \"format\": \"another\" }");
    Found found = SourceFinder.find(List.of(root));
    assertEquals(List.of("CAM/a.mov", "web/b.wav"), paths(found));
    assertTrue(leftOut(found).startsWith("out: an earlier hand-over"), leftOut(found));
  }

  @Test
  void theWalkGoesSixteenFoldersDeep(@TempDir Path root) throws Exception {
    touch(root, "d/".repeat(16) + "in.mov", "d/".repeat(17) + "out.mov");
    Found found = SourceFinder.find(List.of(root));
    assertEquals(List.of("d/".repeat(16) + "in.mov"), paths(found));
    assertTrue(leftOut(found).endsWith("more than 16 folders deep"), leftOut(found));
  }
}
