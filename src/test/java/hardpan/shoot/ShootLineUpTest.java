package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

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

  /**
   * A recording that plays the same 14 s twice, 60 s apart, and a camera whose clock is an hour and
   * two minutes ahead: two clips of it fit once, the third fits twice.
   */
  @ParameterizedTest
  @CsvSource({
    "20:03:15, 75, 'its own clock says the second time'",
    "20:02:15, 15, 'its own clock says the first time'",
    "21:03:15, -1, 'an hour wrong, it decides nothing'"
  })
  void aClockDecidesWhereTheSoundFitsTwice(String time, double expected, String what)
      throws Exception {
    Path shoot = folder.resolve("twice-" + time.replace(":", ""));
    float[] words = ShootSamples.speech(31, RATE, 100);
    System.arraycopy(words, 15 * RATE, words, 75 * RATE, 14 * RATE);
    ShootSamples.wave(shoot.resolve("REC/take.wav"), WaveFormat.integer(24, RATE, 1), words);
    String day = "CAM/VID_20260512_";
    clip(shoot, day + "200200.mov", ShootSamples.heard(words, RATE, 0, 12, 32));
    clip(shoot, day + "200245.mov", ShootSamples.heard(words, RATE, 45, 12, 33));
    String third = day + time.replace(":", "") + ".mov";
    clip(shoot, third, ShootSamples.heard(words, RATE, 16, 12, 34));
    ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
    Shoot placed = steps.lineUp(steps.read(steps.find(List.of(shoot))), null);
    Placement place = placement(placed, third);
    if (expected < 0) {
      assertEquals(State.AMBIGUOUS, place.state(), what + ": " + place.why());
    } else {
      assertEquals(State.PLACED, place.state(), what + ": " + place.why());
      assertEquals(expected + 1, place.offsetSeconds(), 1e-3, what);
      assertTrue(place.why().contains("The clock of its device"), place.why());
    }
    assertEquals(1, place.otherPlaces().size());
    double sum = place.offsetSeconds() + place.otherPlaces().get(0).offsetSeconds();
    assertEquals(16 + 76, sum, 2e-3, "both places are told");
  }

  private static void clip(Path shoot, String name, float[] sound) throws Exception {
    ShootSamples.clip(shoot.resolve(name), "mov", "pcm_s16le", RATE, sound);
  }

  /** A camera 12 m away that has the desk's line on its other channel. */
  @Test
  void picturesCoincideWhereTheFlightIsKnown() throws Exception {
    Path shoot = folder.resolve("seen");
    float[] words = ShootSamples.speech(41, RATE, 90);
    int flight = (int) Math.round(RATE * 12 / 343.2);
    ShootSamples.wave(shoot.resolve("REC/take.wav"), WaveFormat.integer(24, RATE, 1), words);
    float[] late = new float[words.length];
    System.arraycopy(words, 0, late, flight, words.length - flight);
    ShootSamples.clip(
        shoot.resolve("CAM/both.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        ShootSamples.heard(words, RATE, 10, 25, 42),
        ShootSamples.heard(late, RATE, 10, 25, 43));
    ShootSamples.clip(
        shoot.resolve("CAM/far.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        new float[25 * RATE],
        ShootSamples.heard(late, RATE, 50, 25, 44));
    ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
    Shoot read = steps.read(steps.find(List.of(shoot)));
    Placement heard = placement(steps.lineUp(read, null), "CAM/far.mov");
    assertEquals(50 - (double) flight / RATE, heard.offsetSeconds(), 1e-4, heard.why());
    assertFalse(heard.notes().byPicture());
    Shoot byPicture = steps.lineUp(read, null, Wishes.NONE.withPlaceBy(PlaceBy.PICTURE));
    Placement seen = placement(byPicture, "CAM/far.mov");
    assertEquals(50, seen.offsetSeconds(), 1e-4, seen.why());
    assertTrue(seen.notes().byPicture());
    assertEquals(10, placement(byPicture, "CAM/both.mov").offsetSeconds(), 1e-4);
  }
}
