package hardpan.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.shoot.ShootSamples;
import hardpan.wave.WaveFormat;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What {@code verify} prints, and its exit codes. */
@NullUnmarked
class VerifyCommandTest {
  @TempDir Path folder;

  @Test
  void fromUnchangedToNoHandOver() throws Exception {
    Path file =
        ShootSamples.wave(
            folder.resolve("supper/a.wav"),
            WaveFormat.integer(16, 48_000, 1),
            ShootSamples.speech(1, 48_000, 2));
    Path target = folder.resolve("out");
    assertEquals(ExitCode.DONE, CliRun.of("split", file, "--out", target, "--quiet").code());
    CliRun same = CliRun.of("verify", target).plain();
    assertEquals(ExitCode.DONE, same.code(), same.err());
    assertTrue(same.out().startsWith("Unchanged: 6 files of the hand-over and 1 original."));
    assertEquals(new CliRun(ExitCode.DONE, "", ""), CliRun.of("verify", target, "--quiet"));

    Files.writeString(target.resolve("report.html"), "other");
    CliRun changed = CliRun.of("verify", target).plain();
    assertEquals(ExitCode.PARTLY, changed.code());
    assertTrue(changed.out().startsWith("changed: report.html"), changed.out());
    assertTrue(changed.text().contains("1 file is not as handed over."), changed.out());
    CliRun quiet = CliRun.of("verify", target, "--quiet");
    assertEquals("changed: report.html", quiet.out().strip());

    Files.move(folder.resolve("supper"), folder.resolve("moved"));
    CliRun moved = CliRun.of("verify", target).plain();
    assertTrue(moved.out().contains("not found original: ../supper/a.wav"), moved.out());
    assertTrue(moved.out().contains("--sources"), moved.out());
    CliRun named = CliRun.of("verify", target, "--sources", folder.resolve("moved"));
    assertTrue(named.out().contains("and 1 original."), named.out());

    CliRun none = CliRun.of("verify", folder.resolve("moved")).plain();
    assertEquals(ExitCode.NOTHING, none.code());
    assertTrue(none.err().contains("is no hand-over"), none.err());
    assertEquals(ExitCode.USAGE, CliRun.of("verify").code());
    assertEquals(ExitCode.USAGE, CliRun.of("verify", target, "--nonsense").code());
  }

  @Test
  void aCancelSaysSo() throws Exception {
    Path file =
        ShootSamples.wave(
            folder.resolve("supper/a.wav"),
            WaveFormat.integer(16, 48_000, 1),
            ShootSamples.speech(1, 48_000, 1));
    Path target = folder.resolve("out");
    assertEquals(ExitCode.DONE, CliRun.of("split", file, "--out", target, "--quiet").code());
    StringWriter err = new StringWriter();
    PrintWriter errors = new PrintWriter(err, true);
    Terminal terminal = new Terminal(new PrintWriter(new StringWriter()), errors, false);
    terminal.cancel();
    assertEquals(ExitCode.CANCELLED, Hardpan.run(terminal, errors, "verify", target.toString()));
    assertTrue(err.toString().contains("Cancelled; nothing was changed."), err.toString());
  }
}
