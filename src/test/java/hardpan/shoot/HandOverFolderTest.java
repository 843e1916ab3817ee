package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Where a hand-over may go, and that nothing of anybody else's is ever touched. */
@NullUnmarked
class HandOverFolderTest {
  @TempDir Path folder;
  private Path target;

  @BeforeEach
  void name() {
    target = folder.resolve("handed-over");
  }

  @Test
  void theNameIsTakenOnlyWhenAllIsThere() throws Exception {
    try (HandOverFolder made = begin(target, false, List.of())) {
      Files.writeString(made.work().resolve("a.txt"), "a");
      assertFalse(Files.exists(target));
      assertEquals(folder, made.work().getParent());
      assertTrue(made.work().getFileName().toString().startsWith("."));
      made.finish();
    }
    assertEquals(List.of("", "handed-over", "handed-over/a.txt"), names());
  }

  @Test
  void anUnfinishedOneDisappears() throws Exception {
    try (HandOverFolder made = begin(target, false, List.of())) {
      Files.createDirectory(made.work().resolve("lanes"));
      Files.writeString(made.work().resolve("lanes/a.wav"), "a");
    }
    assertEquals(List.of(""), names());
  }

  @Test
  void parentFoldersAreMade() throws Exception {
    Path deep = folder.resolve("one/two/three");
    try (HandOverFolder made = begin(deep, false, List.of())) {
      made.finish();
    }
    assertTrue(Files.isDirectory(deep));
  }

  @Test
  void anEmptyFolderIsTaken() throws Exception {
    Files.createDirectory(target);
    try (HandOverFolder made = begin(target, false, List.of())) {
      Files.writeString(made.work().resolve("a.txt"), "a");
      made.finish();
    }
    assertEquals(List.of("", "handed-over", "handed-over/a.txt"), names());
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void whatIsNoHandOverIsLeftAlone(boolean replace) throws Exception {
    Files.createDirectory(target);
    Files.writeString(target.resolve("holiday.jpg"), "x");
    refused(replace, "not a hand-over");
    Files.writeString(target.resolve("report.json"), "{\"format\": \"something else\"}");
    refused(replace, "not a hand-over");
    Files.delete(target.resolve("holiday.jpg"));
    Files.delete(target.resolve("report.json"));
    Files.delete(target);
    Files.writeString(target, "a plain file");
    refused(replace, "not a hand-over");
  }

  @Test
  void anEarlierHandOverIsReplacedOnlyWhenAsked() throws Exception {
    Map<String, String> before = handOver("one");
    refused(false, "--replace");
    assertEquals(before, ShootSamples.listing(target));
    Map<String, String> after = handOver("two");
    assertFalse(before.equals(after));
    assertTrue(Files.exists(target.resolve("lanes/REC_1_mono.wav")));
    assertEquals(
        List.of("", "handed-over", "shoot-one", "shoot-two"),
        names().stream().filter(name -> !name.contains("/")).toList());
  }

  @ParameterizedTest
  @ValueSource(strings = {"notes.txt", "lanes/my-mix.wav", "lanes/deep/x", ".hidden", "report.bak"})
  void anEarlierHandOverWithForeignFilesStays(String name) throws Exception {
    handOver("one");
    Path foreign = target.resolve(name);
    Files.createDirectories(foreign.getParent());
    Files.writeString(foreign, "mine");
    refused(true, name);
    assertEquals("mine", Files.readString(foreign));
  }

  @ParameterizedTest
  @ValueSource(strings = {"report.html", "lanes/REC_1_mono.wav"})
  void whatSomebodyEditedStays(String name) throws Exception {
    handOver("one");
    Files.writeString(target.resolve(name), "my notes", StandardOpenOption.APPEND);
    refused(true, name);
  }

  @Test
  void aFolderThatSomebodyMadeStays() throws Exception {
    handOver("one");
    Files.createDirectory(target.resolve("picks"));
    refused(true, "picks");
  }

  /** A link to a folder on a larger disk leads there and stays a link. */
  @Test
  void aLinkIsFollowed() throws Exception {
    Path real = Files.createDirectories(folder.resolve("disk/real"));
    Files.createSymbolicLink(target, real);
    handOver("one");
    assertTrue(Files.isSymbolicLink(target));
    assertTrue(Files.exists(real.resolve("report.json")));
    handOver("two");
    assertTrue(Files.isSymbolicLink(target));
    assertTrue(Files.exists(real.resolve("report.json")));
  }

  @Test
  void whatFileManagersLeaveIsNobodysWork() throws Exception {
    handOver("one");
    Files.writeString(target.resolve(".DS_Store"), "x");
    Files.writeString(target.resolve("lanes/Thumbs.db"), "x");
    HandOverFolder.check(target, true, List.of());
  }

  @Test
  void aHandOverWithoutItsChecksumsStays() throws Exception {
    handOver("one");
    Files.delete(target.resolve("checksums.txt"));
    refused(true, "checksums.txt");
    Files.write(target.resolve("checksums.txt"), new byte[] {(byte) 0xFF, (byte) 0xFE, 0});
    refused(true, "checksums.txt");
  }

  /** A person may drop a file into the old hand-over while the new one is being written. */
  @Test
  void aForeignFileThatComesDuringTheWorkStays() throws Exception {
    handOver("one");
    try (HandOverFolder made = begin(target, true, List.of())) {
      Files.writeString(target.resolve("notes.txt"), "mine");
      ShootException e = assertThrows(ShootException.class, made::finish);
      assertTrue(e.sentence().contains("notes.txt"), e.sentence());
    }
    assertEquals("mine", Files.readString(target.resolve("notes.txt")));
    assertTrue(names().stream().noneMatch(name -> name.contains("unfinished")));
  }

  @Test
  void aSiblingThatLooksLikeOursIsNotTouched() throws Exception {
    handOver("one");
    Path sibling = Files.createDirectory(folder.resolve(".handed-over-replaced"));
    Files.writeString(sibling.resolve("mine.txt"), "mine");
    handOver("two");
    assertEquals("mine", Files.readString(sibling.resolve("mine.txt")));
  }

  @Test
  void sourcesInsideTheTargetAreRefused() throws Exception {
    Path shoot = Files.createDirectories(folder.resolve("shoot/CAM-A"));
    Path file = Files.writeString(shoot.resolve("a.mov"), "x");
    Path around = folder.resolve("shoot");
    for (Path source : List.of(file, shoot, around, Path.of(shoot + "/../CAM-A"))) {
      ShootException e =
          assertThrows(
              ShootException.class, () -> HandOverFolder.check(around, true, List.of(source)));
      assertEquals(ShootException.Reason.REQUEST, e.reason());
      assertTrue(e.sentence().contains("lies inside"), e.sentence());
    }
    HandOverFolder.check(around.resolve("out"), false, List.of(file, shoot, around));
    HandOverFolder.check(folder.resolve("shoo"), false, List.of(file));
  }

  @Test
  void linksDoNotHideASourceInsideTheTarget() throws Exception {
    Path shoot = Files.createDirectories(folder.resolve("shoot"));
    Path file = Files.writeString(shoot.resolve("a.mov"), "x");
    Path link = folder.resolve("link");
    try {
      Files.createSymbolicLink(link, shoot);
    } catch (IOException | UnsupportedOperationException e) {
      System.out.println("Skipped: this file system has no links.");
      return;
    }
    assertThrows(ShootException.class, () -> HandOverFolder.check(link, true, List.of(file)));
    assertThrows(
        ShootException.class,
        () -> HandOverFolder.check(shoot, true, List.of(link.resolve("a.mov"))));
  }

  @Test
  void aTargetThatCannotBeWrittenIsRefusedFirst() throws Exception {
    Path file = Files.writeString(folder.resolve("plain"), "x");
    for (Path below : List.of(file.resolve("out"), file.resolve("deep/out"))) {
      ShootException e =
          assertThrows(ShootException.class, () -> HandOverFolder.check(below, false, List.of()));
      assertEquals(ShootException.Reason.NOTHING_DONE, e.reason());
      assertTrue(e.sentence().endsWith("plain is no folder."), e.sentence());
    }
    ShootException root =
        assertThrows(
            ShootException.class, () -> HandOverFolder.check(folder.getRoot(), false, List.of()));
    assertEquals(ShootException.Reason.REQUEST, root.reason());
  }

  @Test
  void moreThanTheDiskHoldsIsRefused() throws Exception {
    try (HandOverFolder made = begin(target, false, List.of())) {
      made.checkSpace(1);
      ShootException e = assertThrows(ShootException.class, () -> made.checkSpace(Long.MAX_VALUE));
      assertTrue(e.sentence().contains("MB are free"), e.sentence());
    }
  }

  private void refused(boolean replace, String part) throws Exception {
    Map<String, String> before = ShootSamples.listing(folder);
    ShootException e = assertThrows(ShootException.class, () -> begin(target, replace, List.of()));
    assertEquals(ShootException.Reason.REQUEST, e.reason());
    assertTrue(e.sentence().contains(part), e.sentence());
    assertEquals(before, ShootSamples.listing(folder));
  }

  private static HandOverFolder begin(Path target, boolean replace, List<Path> sources)
      throws ShootException {
    return HandOverFolder.begin(target, replace, sources, "0".repeat(64), ShootSamples.MADE_AT);
  }

  /** A real hand-over of a shoot with one short recording. */
  private Map<String, String> handOver(String name) throws Exception {
    Path shoot = folder.resolve("shoot-" + name);
    ShootSamples.wave(
        shoot.resolve("REC/r.wav"),
        hardpan.wave.WaveFormat.integer(16, 48_000, 1),
        ShootSamples.speech(name.hashCode(), 48_000, 1));
    HandOver.write(ShootSamples.read(shoot), ShootSamples.options(target, true), Monitor.SILENT);
    return ShootSamples.listing(target);
  }

  private List<String> names() throws IOException {
    return List.copyOf(ShootSamples.listing(folder).keySet());
  }
}
