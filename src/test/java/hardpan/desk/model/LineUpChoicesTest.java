package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.offset;

import hardpan.shoot.DeviceRules;
import hardpan.shoot.PlaceBy;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.ShootSamples;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two cameras and a recorder that both heard, worked on with the real job. */
@NullUnmarked
class LineUpChoicesTest {
  @TempDir Path folder;

  private DeskModel desk;
  private LineUpChoices choices;

  @BeforeEach
  void open() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    desk =
        new DeskModel(
            new ShootJob(new SavedShoots(folder.resolve("data"))),
            (name, work) -> work.run(),
            Runnable::run,
            new FakeDialogs());
    desk.open(List.of(supper));
    choices = new LineUpChoices(desk);
    assertThat(shown().references())
        .containsExactly("CAM-A/a1.mov", "CAM-B/b1.mp4", "REC/take-01.wav");
  }

  private LineUpChoices.Shown shown() {
    return choices.shownProperty().get();
  }

  private Wishes wishes() {
    return desk.edits().wishesProperty().get();
  }

  private void choose(String path) {
    desk.chosenProperty()
        .set(
            desk.shootProperty().get().rows().stream()
                .filter(row -> row.path().equals(path))
                .findFirst()
                .orElseThrow());
  }

  @Test
  void soundOrPictureIsADecisionLikeAnyOther() {
    choices.setPlacing(PlaceBy.PICTURE);
    assertThat(shown().placing()).isEqualTo(PlaceBy.PICTURE);
    assertThat(desk.edits().undoWordsProperty().get()).isEqualTo("fit by picture");
    choices.setPlacing(PlaceBy.PICTURE);
    desk.edits().undo();
    assertThat(wishes()).isEqualTo(Wishes.NONE);
    assertThat(shown().placing()).isEqualTo(PlaceBy.SOUND);
    desk.edits().redo();
    assertThat(shown().placing()).isEqualTo(PlaceBy.PICTURE);
  }

  /** The clip of camera A begins 3 s after the recording, that of camera B 6 s. */
  @Test
  void aPlaceByHandMovesAlongToTheNewReferencesClock() {
    desk.edits().change(Wishes.NONE.withPin(new Wishes.Pin("CAM-B/b1.mp4", 6)), "a place");
    choose("CAM-A/a1.mov");
    assertThat(shown().canBeReference()).isTrue();
    choices.takeAsReference();
    assertThat(wishes().reference()).isEqualTo("CAM-A/a1.mov");
    assertThat(wishes().pins()).hasSize(1);
    assertThat(wishes().pins().get(0).offsetSeconds()).isCloseTo(3, offset(1e-3));
    assertThat(shown().canBeReference()).isFalse();
    assertThat(shown().reference()).isEqualTo("CAM-A/a1.mov");
    choices.setReference(null);
    assertThat(wishes()).isEqualTo(Wishes.NONE);
    desk.edits().undo();
    desk.edits().undo();
    assertThat(wishes().pins()).containsExactly(new Wishes.Pin("CAM-B/b1.mp4", 6));
  }

  @Test
  void aDeviceIsSaidForAFileOrAFolderAndForgottenAgain() {
    choose("CAM-B/b1.mp4");
    assertThat(shown().device()).isEqualTo("CAM-B");
    assertThat(shown().isDeviceGiven()).isFalse();
    choices.setDevice(" PHONE ");
    assertThat(wishes().devices().rules())
        .containsExactly(new DeviceRules.Rule("PHONE", "CAM-B/b1.mp4"));
    assertThat(shown().device()).isEqualTo("PHONE");
    assertThat(shown().isDeviceGiven()).isTrue();
    choices.setDeviceOfFolder("DRONE");
    assertThat(shown().device()).isEqualTo("DRONE");
    assertThat(shown().folder()).isEqualTo("CAM-B");
    choices.forgetDevice();
    assertThat(wishes()).isEqualTo(Wishes.NONE);
    assertThat(shown().device()).isEqualTo("CAM-B");
    desk.edits().undo();
    assertThat(shown().device()).isEqualTo("DRONE");
    assertThat(desk.noticeProperty().get()).isNull();
  }
}
