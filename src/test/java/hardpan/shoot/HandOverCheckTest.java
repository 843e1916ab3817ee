package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.shoot.HandOverCheck.Difference;
import hardpan.shoot.HandOverCheck.Kind;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A hand-over compared with its own lists. */
@NullUnmarked
class HandOverCheckTest {
  @TempDir Path folder;
  private Path shoot;
  private Path target;

  @BeforeEach
  void handOver() throws Exception {
    shoot = ShootSamples.smallShoot(folder.resolve("the shoot"));
    target = folder.resolve("out");
    HandOver.write(ShootSamples.read(shoot), ShootSamples.options(target, false), Monitor.SILENT);
  }

  @Test
  void whatWasNotTouchedIsUnchanged() throws Exception {
    Map<String, String> before = ShootSamples.listing(folder);
    HandOverCheck.Result result = check();
    assertEquals(List.of(), result.differences());
    assertEquals(List.of(), result.outOfReach());
    assertEquals(3, result.originals());
    assertEquals(Files.readAllLines(target.resolve("checksums.txt")).size(), result.files());
    assertEquals(before, ShootSamples.listing(folder), "it only reads");
  }

  @Test
  void everyKindOfDifferenceIsTold() throws Exception {
    Path lane = target.resolve("lanes/REC_1_mono.wav");
    byte[] bytes = Files.readAllBytes(lane);
    bytes[bytes.length / 2] ^= 1;
    Files.write(lane, bytes);
    Files.delete(target.resolve("report.html"));
    Files.writeString(target.resolve("lanes/notes.txt"), "mine");
    Files.writeString(target.resolve(".DS_Store"), "litter");
    Files.writeString(shoot.resolve("REC/r2.wav"), "other");
    assertEquals(
        List.of(
            new Difference("lanes/REC_1_mono.wav", false, Kind.CHANGED),
            new Difference("report.html", false, Kind.MISSING),
            new Difference("lanes/notes.txt", false, Kind.ADDED),
            new Difference("../the shoot/REC/r2.wav", true, Kind.CHANGED)),
        check().differences());
  }

  @Test
  void anOriginalThatIsGoneFromItsFolderIsMissing() throws Exception {
    Files.delete(shoot.resolve("REC/r2.wav"));
    assertEquals(
        List.of(new Difference("../the shoot/REC/r2.wav", true, Kind.MISSING)),
        check().differences());
  }

  @Test
  void originalsElsewhereAreOutOfReachOrFoundByName() throws Exception {
    Path elsewhere = folder.resolve("archive/2026");
    Files.createDirectories(elsewhere.getParent());
    Files.move(shoot, elsewhere);
    HandOverCheck.Result result = check();
    assertEquals(List.of(), result.differences());
    assertEquals(0, result.originals());
    assertEquals(3, result.outOfReach().size());
    HandOverCheck.Result named = HandOverCheck.run(target, List.of(elsewhere), Monitor.SILENT);
    assertEquals(3, named.originals());
    assertEquals(List.of(), named.differences());
    Files.writeString(elsewhere.resolve("CAM/c.mov"), "other");
    assertEquals(
        List.of(new Difference("../the shoot/CAM/c.mov", true, Kind.CHANGED)),
        HandOverCheck.run(target, List.of(elsewhere), Monitor.SILENT).differences());
  }

  @Test
  void aHandOverThatMovedTogetherWithItsShootIsFound() throws Exception {
    Path both = Files.createDirectory(folder.resolve("both"));
    Files.move(shoot, both.resolve("the shoot"));
    Files.move(target, both.resolve("out"));
    HandOverCheck.Result result = HandOverCheck.run(both.resolve("out"), List.of(), Monitor.SILENT);
    assertEquals(3, result.originals());
    assertEquals(List.of(), result.differences());
  }

  @Test
  void whatIsNoHandOverIsRefused() throws Exception {
    refused(folder.resolve("nowhere"), "There is no folder");
    refused(shoot, "no hand-over");
    for (String list :
        List.of(
            "",
            "rubbish\n",
            "0".repeat(64) + "  ../../etc/passwd\n",
            "0".repeat(64) + "  /etc/passwd\n",
            "0".repeat(63) + "  x\n")) {
      Files.writeString(target.resolve("checksums.txt"), list);
      refused(target, "is damaged");
    }
  }

  private static void refused(Path handOver, String part) {
    ShootException e =
        assertThrows(
            ShootException.class, () -> HandOverCheck.run(handOver, List.of(), Monitor.SILENT));
    assertEquals(ShootException.Reason.NOTHING_DONE, e.reason());
    assertTrue(e.sentence().contains(part), e.sentence());
  }

  /** GNU coreutils reads both lists and finds them true; skipped where it is not there. */
  @Test
  void sha256sumAgrees() throws Exception {
    for (String list : List.of("checksums.txt", "source-checksums.txt")) {
      Process process;
      try {
        process =
            new ProcessBuilder("sha256sum", "--check", "--strict", "--quiet", list)
                .directory(target.toFile())
                .redirectErrorStream(true)
                .start();
      } catch (IOException e) {
        System.out.println("Skipped: there is no sha256sum here.");
        return;
      }
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      assertTrue(process.waitFor(30, TimeUnit.SECONDS));
      assertEquals(0, process.exitValue(), said);
    }
  }

  private HandOverCheck.Result check() throws ShootException {
    return HandOverCheck.run(target, List.of(), Monitor.SILENT);
  }
}
