package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.wave.WaveFormat;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

@NullUnmarked
class ShootStepsTest {
  @TempDir Path folder;

  @Test
  void theWantedReferenceIsLookedForBeforeAnythingIsRead() throws Exception {
    wave("REC/a.wav", 1);
    wave("REC-2/a.wav", 1);
    Files.write(folder.resolve("b.mov"), new byte[0]);
    Shoot found = with(steps -> steps.find(List.of(folder)));
    ShootSteps.checkReference(found, null);
    ShootSteps.checkReference(found, Path.of("REC/a.wav"));
    ShootSteps.checkReference(found, folder.resolve("REC-2/a.wav"));
    ShootSteps.checkReference(found, Path.of("b.mov"));
    ShootException missing =
        assertThrows(
            ShootException.class, () -> ShootSteps.checkReference(found, Path.of("c.wav")));
    assertEquals(ShootException.Reason.REQUEST, missing.reason());
    ShootException twice =
        assertThrows(
            ShootException.class, () -> ShootSteps.checkReference(found, Path.of("a.wav")));
    assertTrue(twice.sentence().contains("fits 2 sources"), twice.sentence());
    // A part of a name is not a name.
    assertThrows(ShootException.class, () -> ShootSteps.checkReference(found, Path.of(".wav")));
  }

  @Test
  void aBrokenReferenceIsRefusedWithItsReason() throws Exception {
    wave("a.wav", 1);
    Files.write(folder.resolve("b.wav"), new byte[0]);
    ShootException e =
        assertThrows(
            ShootException.class,
            () ->
                with(
                    steps ->
                        steps.lineUp(steps.read(steps.find(List.of(folder))), Path.of("b.wav"))));
    assertEquals(ShootException.Reason.REQUEST, e.reason());
    assertTrue(e.sentence().contains("b.wav is empty"), e.sentence());
  }

  /** A longer clip, a longer silent recording: the recording that carries sound is the clock. */
  @Test
  void theLongestRecordingThatCarriesSoundIsTheReference() throws Exception {
    wave("REC/short.wav", 2);
    wave("REC/long.wav", 3);
    ShootSamples.wave(
        folder.resolve("REC/silent.wav"), WaveFormat.integer(16, 48_000, 1), new float[48_000 * 5]);
    ShootSamples.clip(
        folder.resolve("CAM/clip.mov"),
        "mov",
        "pcm_s16le",
        48_000,
        ShootSamples.speech(9, 48_000, 6));
    Shoot shoot = with(steps -> steps.lineUp(steps.read(steps.find(List.of(folder))), null));
    assertEquals("REC/long.wav", shoot.referencePath());
    assertNull(shoot.reference().orElseThrow().placement());
    assertFalse(shoot.isWhole());
    ShootSource silent = source(shoot, "REC/silent.wav");
    assertEquals(Placement.State.UNPLACED, silent.placement().state());
    assertTrue(silent.placement().why().contains("silent"), silent.placement().why());
    assertEquals("CAM#1", source(shoot, "CAM/clip.mov").run());
  }

  @Test
  void runsAreCountedPerDevice() throws Exception {
    wave("REC/a.wav", 1);
    wave("REC/b.wav", 1);
    wave("CAM/c.wav", 1);
    Shoot shoot = with(steps -> steps.find(List.of(folder)));
    assertEquals(
        List.of("CAM#1", "REC#1", "REC#2"),
        shoot.sources().stream().map(ShootSource::run).toList());
    assertEquals(3, shoot.files().size());
    assertEquals(folder.getFileName().toString(), shoot.name());
  }

  private interface Work {
    Shoot run(ShootSteps steps) throws ShootException;
  }

  private static Shoot with(Work work) throws Exception {
    try (Scratch scratch = Scratch.create()) {
      return work.run(new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT));
    }
  }

  private static ShootSource source(Shoot shoot, String path) {
    return shoot.sources().stream()
        .filter(source -> source.path().equals(path))
        .findFirst()
        .orElseThrow();
  }

  private void wave(String name, double seconds) throws IOException {
    ShootSamples.wave(
        folder.resolve(name),
        WaveFormat.integer(24, 48_000, 1),
        ShootSamples.speech(name.hashCode(), 48_000, seconds));
  }
}
