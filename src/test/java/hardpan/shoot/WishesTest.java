package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.lanes.SampleChoice;
import hardpan.shoot.Wishes.Pin;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

@NullUnmarked
class WishesTest {
  @TempDir Path folder;

  @ParameterizedTest
  @CsvSource({
    "a.mov=12.5, a.mov, 12.5",
    "CAM-A/a.mov=-3, CAM-A/a.mov, -3",
    "./CAM-A/a=b.mov=1:02.25, CAM-A/a=b.mov, 62.25",
    "CAM-A\\a.mov=1:02:03.5, CAM-A/a.mov, 3723.5",
    "a.mov=-0:10, a.mov, -10",
    "a.mov = 100000, a.mov, 100000"
  })
  void aPinIsRead(String text, String source, double offsetSeconds) {
    assertEquals(new Pin(source, offsetSeconds), Pin.parse(text));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "a.mov",
        "a.mov=",
        "=5",
        "a.mov=5s",
        "a.mov=1:60",
        "a.mov=1:75:00",
        "a.mov=1e9",
        "a.mov=NaN",
        "a.mov=1:2:3:4",
        "a.mov=.5"
      })
  void whatIsNoPinIsRefused(String text) {
    assertThrows(IllegalArgumentException.class, () -> Pin.parse(text));
  }

  private static DeviceRules rules(String... texts) {
    return new DeviceRules(List.of(texts).stream().map(DeviceRules.Rule::parse).toList());
  }

  @Test
  void newWishesGoOverOldOnes() {
    Wishes old =
        new Wishes(
            List.of(new Pin("a", 1), new Pin("b", 2)), List.of("x"), rules("CAM=one", "CAM=two"));
    Wishes given = new Wishes(List.of(new Pin("a", 9)), List.of("x", "y"), rules("REC=two"));
    Wishes all = given.over(old);
    assertEquals(List.of(new Pin("a", 9), new Pin("b", 2)), all.pins());
    assertEquals(List.of("x", "y"), all.excluded());
    assertEquals(rules("REC=two", "CAM=one"), all.devices());
  }

  @Test
  void theShootFileKeepsThem() throws Exception {
    Path file = folder.resolve("shoot.hardpan");
    Wishes wishes =
        new Wishes(
            List.of(new Pin("CAM-A/a.mov", -3.000000001)), List.of("CAM-B/*"), rules("P=**/IMG_*"));
    try (ShootFile kept = ShootFile.create(file)) {
      assertEquals(Wishes.NONE, kept.wishes());
      kept.keep(new Wishes(List.of(new Pin("other", 1)), List.of(), DeviceRules.NONE));
      kept.keep(wishes);
    }
    try (ShootFile kept = ShootFile.open(file)) {
      assertEquals(wishes, kept.wishes());
      kept.keep(Wishes.NONE);
      assertEquals(Wishes.NONE, kept.wishes());
      assertTrue(kept.trouble().isEmpty());
    }
  }

  @Test
  void whatFitsNoSourceIsRefusedWhenGivenAndPassedOverWhenKept() throws Exception {
    Shoot shoot = ShootSamples.read(ShootSamples.smallShoot(folder.resolve("small")));
    Wishes good = new Wishes(List.of(new Pin("c.mov", 1)), List.of("REC/r2.wav"), DeviceRules.NONE);
    good.check(shoot);
    assertEquals(good, good.about(shoot));
    assertTrue(good.excludes("REC/r2.wav"));
    assertFalse(good.excludes("REC/r1.wav"));
    Wishes gone = new Wishes(List.of(new Pin("d.mov", 1)), List.of("PHONE"), rules("P=nowhere"));
    assertEquals(Wishes.NONE, gone.about(shoot));
    for (Wishes bad :
        List.of(
            new Wishes(gone.pins(), List.of(), DeviceRules.NONE),
            new Wishes(List.of(), gone.excluded(), DeviceRules.NONE))) {
      ShootException refused = assertThrows(ShootException.class, () -> bad.check(shoot));
      assertEquals(ShootException.Reason.REQUEST, refused.reason());
    }
  }

  @Test
  void aSourceIsTakenInAgainByWhateverPatternItWasLeftOut() {
    Wishes wishes =
        new Wishes(
            List.of(new Pin("c.mov", 1)), List.of("REC/r2.wav", "REC", "CAM-*"), DeviceRules.NONE);
    Wishes next = wishes.takenIn("REC/r2.wav");
    assertEquals(List.of("CAM-*"), next.excluded());
    assertEquals(wishes.pins(), next.pins());
    assertEquals(wishes, wishes.takenIn("PHONE/x.mov"));
    assertEquals(1, wishes.pinOf("CAM/c.mov").orElseThrow().offsetSeconds());
    assertTrue(wishes.pinOf("CAM/d.mov").isEmpty());
  }

  @Test
  void theShootFileKeepsEverythingElseToo() throws Exception {
    Path file = folder.resolve("shoot.hardpan");
    LaneChoices lanes =
        LaneChoices.NONE
            .with(LaneChoices.Channel.named("CAM-A/a:b.mov", 1, "Anna = first: voice"))
            .with(LaneChoices.Channel.role("CAM-A/a:b.mov", 1, "lectern"))
            .with(LaneChoices.Channel.written("CAM-B", 0, false))
            .with(new LaneChoices.Pair("CAM-C#2", false));
    Arrangement arrangement =
        new Arrangement(
            Layout.DEVICE, true, NameTemplate.parse("{shoot}_{lane}"), SampleChoice.FLOAT32);
    Wishes wishes =
        Wishes.NONE
            .withReference("REC/r2.wav")
            .withDevice(DeviceRules.Rule.parse("A=x"))
            .withDevice(DeviceRules.Rule.parse("B=y"))
            .withLanes(lanes)
            .withPlaceBy(PlaceBy.PICTURE)
            .withFiles(new Wishes.Files(arrangement, DriftCorrection.OFF));
    try (ShootFile kept = ShootFile.create(file)) {
      kept.keep(wishes);
    }
    try (ShootFile kept = ShootFile.open(file)) {
      assertEquals(wishes, kept.wishes());
      assertEquals(wishes, Wishes.NONE.over(kept.wishes()));
      assertEquals(wishes.lineUpKey(), kept.wishes().lineUpKey());
    }
    assertTrue(wishes.hasSameLineUp(wishes.withLanes(LaneChoices.NONE)));
    assertFalse(wishes.hasSameLineUp(wishes.withReference(null)));
    assertFalse(wishes.hasSameLineUp(wishes.withPlaceBy(PlaceBy.SOUND)));
    Wishes bySound = Wishes.NONE.withPlaceBy(PlaceBy.SOUND);
    assertTrue(Wishes.NONE.hasSameLineUp(bySound));
    assertEquals(Wishes.NONE.lineUpKey(), bySound.lineUpKey());
    assertEquals(PlaceBy.SOUND, bySound.over(wishes).placing());
    assertEquals(PlaceBy.PICTURE, Wishes.NONE.over(wishes).placing());
  }

  @Test
  void lanesOfNobodyAreRefused() throws Exception {
    Shoot shoot = ShootSamples.read(ShootSamples.smallShoot(folder.resolve("small")));
    for (String name : List.of("CAM", "CAM#1", "c.mov", "CAM/c.mov")) {
      Wishes.NONE
          .withLanes(LaneChoices.NONE.with(LaneChoices.Channel.named(name, 0, "x")))
          .check(shoot);
    }
    for (LaneChoices bad :
        List.of(
            LaneChoices.NONE.with(LaneChoices.Channel.named("d.mov", 0, "x")),
            LaneChoices.NONE.with(new LaneChoices.Pair("CAM-X", true)))) {
      Wishes wishes = Wishes.NONE.withLanes(bad);
      assertThrows(ShootException.class, () -> wishes.check(shoot));
    }
  }
}
