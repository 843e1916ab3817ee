package hardpan.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootFile;
import hardpan.shoot.ShootSamples;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the command line keeps with {@code --shoot} can be opened by itself. */
@NullUnmarked
class SavedShootInWindowTest {
  @TempDir Path folder;

  private Path supper;
  private Path saved;

  @BeforeEach
  void make() throws Exception {
    supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    saved = folder.resolve("supper.hardpan");
  }

  private Shoot kept(ShootSession session) {
    return session.kept().orElseThrow();
  }

  @Test
  void whatWasLinedUpIsThereAtOnceWithItsDecisions() throws Exception {
    CliRun.of("lineup", supper, "--shoot", saved, "--pin", "b1.mp4=6.5", "--quiet");
    try (ShootSession session = ShootSession.openSaved(saved, ReaderChoice.BEST)) {
      assertThat(session.roots()).containsExactly(supper.toAbsolutePath().normalize());
      assertThat(session.wishes().pins()).containsExactly(new Wishes.Pin("b1.mp4", 6.5));
      assertThat(session.isLinedUpFor(session.wishes())).isTrue();
      assertThat(kept(session).sources().get(1).placement().offsetSeconds()).isEqualTo(6.5);
      assertThat(session.changes(Monitor.SILENT).isEmpty()).isTrue();
    }
    // Only inspected again, the line-up stays.
    CliRun.of("inspect", supper, "--shoot", saved, "--quiet");
    try (ShootSession session = ShootSession.openSaved(saved, ReaderChoice.BEST)) {
      assertThat(session.isLinedUpFor(session.wishes())).isTrue();
    }
  }

  @Test
  void whatWasOnlyInspectedIsShownAndLinedUpThere() throws Exception {
    CliRun.of("inspect", supper, "--shoot", saved, "--quiet");
    try (ShootSession session = ShootSession.openSaved(saved, ReaderChoice.BEST)) {
      assertThat(kept(session).sources()).hasSize(3);
      assertThat(session.isLinedUpFor(session.wishes())).isFalse();
      assertThat(session.lineUp(session.wishes(), Monitor.SILENT).referencePath())
          .isEqualTo("REC/take-01.wav");
    }
  }

  private void assertRefused(String... words) throws Exception {
    byte[] before = Files.isRegularFile(saved) ? Files.readAllBytes(saved) : null;
    assertThatThrownBy(() -> ShootSession.openSaved(saved, ReaderChoice.BEST))
        .isInstanceOfSatisfying(
            ShootException.class,
            refused -> {
              assertThat(refused.sentence()).contains(words);
              assertThat(refused.sentence()).contains("Open the folder of the clips instead");
              assertThat(refused.reason()).isEqualTo(ShootException.Reason.REQUEST);
            });
    if (before != null) {
      assertArrayEquals(before, Files.readAllBytes(saved));
    }
  }

  @Test
  void whatCannotBeUsedIsRefusedWithWhatToDo() throws Exception {
    assertRefused("There is no saved shoot");
    ShootFile.create(saved).close();
    assertRefused("does not name its folders");
    CliRun.of("inspect", supper, "--shoot", saved, "--quiet");
    byte[] whole = Files.readAllBytes(saved);
    Files.write(saved, Arrays.copyOf(whole, whole.length / 2 + 100));
    assertRefused("is damaged; it was left as it is");
    Files.write(saved, "Notes of the supper".repeat(20).getBytes(StandardCharsets.UTF_8));
    assertRefused("is not a saved shoot of Hardpan");
    byte[] newer = whole.clone();
    newer[63] = 99;
    Files.write(saved, newer);
    assertRefused("was saved by a newer Hardpan");
    Files.write(saved, whole);
    try (ShootFile open = ShootFile.open(saved)) {
      assertRefused("is open in another Hardpan");
      assertThat(open.trouble()).isEmpty();
    }
  }
}
