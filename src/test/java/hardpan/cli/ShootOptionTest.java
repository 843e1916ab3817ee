package hardpan.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.shoot.ShootFile;
import hardpan.shoot.ShootSamples;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The saved shoot on the command line. */
@NullUnmarked
class ShootOptionTest {
  @TempDir Path folder;

  private static String withoutTime(String report) {
    return report.replaceAll("\"madeAt\": \"[^\"]*\"", "");
  }

  @Test
  void theNextRunSaysTheSame() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path kept = supper.resolve("shoot.hardpan");
    CliRun plain = CliRun.of("lineup", supper, "--json");
    assertFalse(Files.exists(kept), "nothing is kept unasked");
    CliRun first = CliRun.of("lineup", supper, "--json", "--shoot", kept).plain();
    assertEquals("", first.err());
    assertTrue(Files.size(kept) > 0);
    CliRun second = CliRun.of("lineup", supper, "--json", "--shoot", kept).plain();
    assertEquals(plain.code(), first.code());
    assertEquals(plain.code(), second.code());
    assertEquals(withoutTime(plain.out()), withoutTime(first.out()));
    assertEquals(withoutTime(first.out()), withoutTime(second.out()));
    CliRun handover =
        CliRun.of("handover", supper, "--shoot", kept, "--out", folder.resolve("out"), "--quiet");
    assertEquals(new CliRun(ExitCode.DONE, "", ""), handover);
    CliRun inspect = CliRun.of("inspect", supper, "--shoot", kept);
    assertTrue(inspect.out().startsWith("3 sources"), inspect.out());
  }

  @Test
  void aRefusedFileEndsTheCommandAndStays() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path clip = supper.resolve("CAM-A/a1.mov");
    byte[] before = Files.readAllBytes(clip);
    CliRun run = CliRun.of("inspect", supper, "--shoot", clip).plain();
    assertEquals(ExitCode.USAGE, run.code());
    assertEquals("", run.out());
    assertTrue(run.err().contains("is not a saved shoot"), run.err());
    assertEquals(1, run.err().lines().count());
    assertArrayEquals(before, Files.readAllBytes(clip));
  }

  @Test
  void decisionsAreKeptUntilTheyAreForgotten() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path kept = folder.resolve("shoot.hardpan");
    String pinned = "Pinned by hand";
    CliRun first =
        CliRun.of("lineup", supper, "--shoot", kept, "--pin", "a1.mov=0:30.5", "--exclude", "CAM-B")
            .plain();
    assertTrue(first.text().contains(pinned), first.text());
    assertTrue(first.text().contains("Left out of the line-up by hand"), first.text());
    assertEquals(ExitCode.DONE, first.code());
    CliRun second = CliRun.of("lineup", supper, "--shoot", kept, "--json");
    assertTrue(second.out().contains("\"offsetSeconds\": 30.5"), second.out());
    assertTrue(second.out().contains(pinned), second.out());
    CliRun third = CliRun.of("lineup", supper, "--shoot", kept, "--forget").plain();
    assertFalse(third.text().contains(pinned), third.text());
    CliRun wrong = CliRun.of("lineup", supper, "--shoot", kept, "--pin", "nobody.mov=1").plain();
    assertEquals(ExitCode.USAGE, wrong.code());
    CliRun fourth = CliRun.of("lineup", supper, "--shoot", kept).plain();
    assertEquals(ExitCode.DONE, fourth.code());
    assertFalse(fourth.text().contains("by hand"), fourth.text());
  }

  @Test
  void whatClipsFitByIsKeptUntilSomethingElseIsSaid() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path kept = folder.resolve("shoot.hardpan");
    String unknown = "How long the sound needed to reach it is not known";
    CliRun first = CliRun.of("lineup", supper, "--shoot", kept, "--place", "picture", "--json");
    assertTrue(first.out().contains(unknown), first.out());
    Path out = folder.resolve("out");
    CliRun second = CliRun.of("handover", supper, "--shoot", kept, "--out", out, "--json");
    assertTrue(second.out().contains(unknown), second.out());
    CliRun third = CliRun.of("lineup", supper, "--shoot", kept, "--place", "sound", "--json");
    assertFalse(third.out().contains(unknown), third.out());
    CliRun fourth = CliRun.of("lineup", supper, "--shoot", kept, "--json");
    assertFalse(fourth.out().contains(unknown), fourth.out());
  }

  @Test
  void aFileInUseIsNamed() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Path kept = folder.resolve("shoot.hardpan");
    try (ShootFile open = ShootFile.create(kept)) {
      CliRun run = CliRun.of("inspect", supper, "--shoot", kept).plain();
      assertEquals(ExitCode.USAGE, run.code());
      assertTrue(run.err().contains("open in another Hardpan"), run.err());
      assertTrue(open.trouble().isEmpty());
    }
  }
}
