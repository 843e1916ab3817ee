package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.lineup.Placement.State;
import hardpan.media.ReaderChoice;
import hardpan.shoot.Wishes.Pin;
import hardpan.wave.WaveFormat;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A recorder that stopped too early, and two cameras that went on. */
@NullUnmarked
class ShootLineUpTest {
  private static final int RATE = ShootSamples.RATE;

  @TempDir static Path folder;
  private static Shoot read;
  private static Scratch scratch;

  @BeforeAll
  static void record() throws Exception {
    float[] evening = ShootSamples.speech(21, RATE, 64);
    ShootSamples.wave(
        folder.resolve("REC/take.wav"),
        WaveFormat.integer(24, RATE, 1),
        ShootSamples.heard(evening, RATE, 0, 24, 22));
    ShootSamples.clip(
        folder.resolve("CAM-A/a.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        ShootSamples.heard(evening, RATE, 10, 44, 23));
    ShootSamples.clip(
        folder.resolve("CAM-B/b.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        ShootSamples.heard(evening, RATE, 34, 16, 24));
    scratch = Scratch.create();
    ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
    read = steps.read(steps.find(List.of(folder)));
  }

  private static Shoot linedUp(Wishes wishes) throws ShootException {
    return new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT)
        .lineUp(read, Path.of("REC/take.wav"), wishes);
  }

  private static Placement placement(Shoot shoot, String path) {
    return shoot.source(path).placement();
  }

  @Test
  void aClipThatTheReferenceNeverHeardIsPlacedThroughAnother() throws Exception {
    Shoot shoot = linedUp(Wishes.NONE);
    Placement first = placement(shoot, "CAM-A/a.mov");
    assertEquals(State.PLACED, first.state(), first.why());
    assertEquals(10, first.offsetSeconds(), 2e-5);
    assertEquals(List.of(), first.via());
    Placement second = placement(shoot, "CAM-B/b.mov");
    assertEquals(State.PLACED, second.state(), second.why());
    assertEquals(34, second.offsetSeconds(), 1e-3);
    assertEquals(List.of("CAM-A/a.mov"), second.via());
    assertTrue(shoot.isWhole());
  }

  @Test
  void aPinAndWhatHangsOnItMoveTogether() throws Exception {
    Shoot shoot = linedUp(new Wishes(List.of(new Pin("a.mov", 100)), List.of(), DeviceRules.NONE));
    assertEquals(100, placement(shoot, "CAM-A/a.mov").offsetSeconds(), 1e-9);
    assertTrue(placement(shoot, "CAM-A/a.mov").why().contains("its own sound says 10.000 s"));
    assertEquals(124, placement(shoot, "CAM-B/b.mov").offsetSeconds(), 1e-3);
  }

  @Test
  void whatIsExcludedPlacesNobody() throws Exception {
    Shoot shoot = linedUp(new Wishes(List.of(), List.of("CAM-A/*"), DeviceRules.NONE));
    Placement left = placement(shoot, "CAM-A/a.mov");
    assertEquals(State.UNPLACED, left.state());
    assertTrue(left.why().contains("by hand"));
    assertEquals(State.UNPLACED, placement(shoot, "CAM-B/b.mov").state());
  }

  @Test
  void whatCannotBeKeptToIsRefused() {
    for (Wishes bad :
        List.of(
            new Wishes(List.of(new Pin("take.wav", 1)), List.of(), DeviceRules.NONE),
            new Wishes(List.of(), List.of("REC"), DeviceRules.NONE),
            new Wishes(List.of(), List.of("*"), DeviceRules.NONE))) {
      ShootException refused = assertThrows(ShootException.class, () -> linedUp(bad));
      assertEquals(ShootException.Reason.REQUEST, refused.reason());
    }
  }
}
