package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import hardpan.base.Monitor;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.LaneOffer;
import hardpan.lanes.Layout;
import hardpan.lanes.SampleChoice;
import hardpan.media.ReaderChoice;
import hardpan.report.Report;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSamples;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.List;
import javafx.beans.property.ReadOnlyObjectWrapper;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Camera A has two microphones, camera B one signal on both sides, the recorder two. */
@NullUnmarked
class LanesModelTest {
  @TempDir static Path folder;
  private static ShownShoot shown;

  private final Edits edits = new Edits();
  private final ReadOnlyObjectWrapper<ShownShoot> shoot = new ReadOnlyObjectWrapper<>();
  private final LanesModel lanes = new LanesModel(shoot.getReadOnlyProperty(), edits);

  @BeforeAll
  static void read() throws Exception {
    ShootSamples.harvestSupper(folder.resolve("supper"));
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot found = steps.read(steps.find(List.of(folder.resolve("supper"))));
      OffsetDateTime when = OffsetDateTime.parse("2026-05-16T22:10:00Z");
      Report report = ReportMaker.report(found, List.of(), when);
      shown = new ShownShoot(found, report);
    }
  }

  @BeforeEach
  void show() {
    shoot.set(shown);
  }

  private LaneRow row(String source, int key) {
    return lanes.rowsProperty().get().stream()
        .filter(row -> row.lane().source().equals(source) && row.lane().key() == key)
        .findFirst()
        .orElseThrow();
  }

  @Test
  void allLanesAreListedWithTheirFiles() {
    assertThat(lanes.rowsProperty().get())
        .extracting(LaneRow::fileWords)
        .containsExactly(
            "CAM-A_1_left.wav",
            "CAM-A_1_right.wav",
            "CAM-B_1_mono.wav",
            "REC_1_left.wav",
            "REC_1_right.wav");
    assertThat(row("CAM-A/a1.mov", 1).sideWords()).isEqualTo("right");
    assertThat(row("CAM-B/b1.mp4", 0).sideWords()).isEqualTo("both alike");
    assertThat(row("CAM-A/a1.mov", 0).formatWords()).isEqualTo("16 bit, 48 kHz");
    assertThat(lanes.summary()).isEqualTo("5 lanes in 5 files.");
    assertThat(row("CAM-A/a1.mov", 0).spoken())
        .isEqualTo(
            "left (not named), guess: microphone, CAM-A/a1.mov, left, CAM-A_1_left.wav, wind or"
                + " rumble.");
    assertThat(row("CAM-A/a1.mov", 0).noteMark()).isEqualTo(Mark.WARNING);
    // Nothing is lined up here.
    assertThat(row("CAM-A/a1.mov", 0).startWords()).isEmpty();
    assertThat(row("CAM-A/a1.mov", 0).lengthWords()).matches("[0-9]:[0-9.]+");
  }

  /** What one must know before handing over stands beside the button. */
  @Test
  void theProspectCountsWhatIsWrittenAndWhatIsNot() {
    double bytes =
        lanes.rowsProperty().get().stream()
            .mapToDouble(
                row ->
                    row.lane().seconds()
                        * row.lane().format().rateHz()
                        * row.lane().format().bits()
                        / 8)
            .sum();
    String size = "about " + (long) Math.ceil(bytes / 1e6) + " MB";
    assertThat(lanes.prospect())
        .isEqualTo(
            "To be written: 5 lanes in 5 files; " + size + "; warnings in 4; 5 not named yet.");
    lanes.rename(row("CAM-A/a1.mov", 0), "Anna");
    lanes.setWritten(row("CAM-A/a1.mov", 1), false);
    assertThat(lanes.prospect())
        .startsWith("To be written: 4 lanes in 4 files; ")
        .endsWith("; 3 not named yet.");
    lanes.setLayout(Layout.DEVICE);
    assertThat(lanes.prospect()).doesNotContain("MB");
  }

  @Test
  void aRoleIsSaidToBeAGuessUntilAPersonConfirmsOrChangesIt() {
    assertThat(lanes.rowsProperty().get()).allMatch(row -> row.roleWords().startsWith("guess: "));
    lanes.confirmRole(row("CAM-A/a1.mov", 0));
    assertThat(row("CAM-A/a1.mov", 0).roleWords()).isEqualTo("microphone");
    assertThat(row("CAM-A/a1.mov", 1).roleWords()).isEqualTo("guess: microphone");
    assertThat(edits.undoWordsProperty().get()).isEqualTo("role microphone");
    Wishes confirmed = edits.wishesProperty().get();
    lanes.confirmRole(row("CAM-A/a1.mov", 0));
    assertThat(edits.wishesProperty().get()).isSameAs(confirmed);
    lanes.setRole(row("CAM-A/a1.mov", 1), "guess: microphone");
    assertThat(edits.wishesProperty().get()).isSameAs(confirmed);
    lanes.setRole(row("CAM-A/a1.mov", 1), "microphone");
    assertThat(row("CAM-A/a1.mov", 1).roleWords()).isEqualTo("microphone");
    lanes.undo();
    lanes.setRole(row("CAM-A/a1.mov", 1), "lectern");
    assertThat(row("CAM-A/a1.mov", 1).roleWords()).isEqualTo("lectern");
    lanes.undo();
    lanes.undo();
    assertThat(row("CAM-A/a1.mov", 0).roleWords()).isEqualTo("guess: microphone");
    // A name says nothing of what it is; both for a whole device do.
    lanes.rename(row("CAM-A/a1.mov", 0), "Anna");
    assertThat(row("CAM-A/a1.mov", 0).roleWords()).isEqualTo("guess: microphone");
    lanes.useForDevice(row("CAM-A/a1.mov", 0));
    assertThat(row("CAM-A/a1.mov", 0).roleWords()).isEqualTo("microphone");
  }

  @Test
  void aNameThatIsGivenIsToldFromOneThatIsNone() {
    assertThat(row("CAM-A/a1.mov", 0).nameWords()).isEqualTo("left (not named)");
    lanes.rename(row("CAM-A/a1.mov", 0), "Anna");
    assertThat(row("CAM-A/a1.mov", 0).nameWords()).isEqualTo("Anna");
  }

  @Test
  void namingIsADecisionThatCanBeTakenBack() {
    lanes.chosenProperty().set(row("CAM-A/a1.mov", 0));
    lanes.rename(row("CAM-A/a1.mov", 0), " Anna ");
    assertThat(row("CAM-A/a1.mov", 0).lane().name()).isEqualTo("Anna");
    assertThat(row("CAM-A/a1.mov", 0).fileWords()).isEqualTo("CAM-A_1_Anna.wav");
    assertThat(lanes.chosenProperty().get()).isEqualTo(row("CAM-A/a1.mov", 0));
    assertThat(edits.undoWordsProperty().get()).isEqualTo("lane name Anna");
    lanes.setRole(row("CAM-A/a1.mov", 0), "lectern");
    assertThat(row("CAM-A/a1.mov", 0).lane().role()).isEqualTo("lectern");
    edits.undo();
    lanes.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(Wishes.NONE);
    assertThat(row("CAM-A/a1.mov", 0).lane().name()).isEqualTo("left");
    for (String nothing : List.of("", "  ", "left", "x".repeat(500))) {
      lanes.rename(row("CAM-A/a1.mov", 0), nothing);
      assertThat(edits.undoWordsProperty().get()).as(nothing).isNull();
    }
  }

  @Test
  void oneNameCanBeGivenToAllClipsOfADevice() {
    lanes.rename(row("CAM-A/a1.mov", 0), "Anna");
    lanes.setWritten(row("CAM-A/a1.mov", 0), false);
    lanes.useForDevice(row("CAM-A/a1.mov", 0));
    assertThat(edits.wishesProperty().get().lanes().channels())
        .containsExactly(
            LaneChoices.Channel.written("CAM-A/a1.mov", 0, false),
            new LaneChoices.Channel("CAM-A", 0, "Anna", "microphone", null));
    assertThat(row("CAM-A/a1.mov", 0).lane().state()).isEqualTo(LaneOffer.State.UNWANTED);
    assertThat(row("CAM-A/a1.mov", 0).lane().name()).isEqualTo("Anna");
  }

  @Test
  void lanesAreLeftOutAndPairsKeptApart() {
    lanes.setWritten(row("REC/take-01.wav", 1), false);
    assertThat(row("REC/take-01.wav", 1).fileWords()).isEqualTo("not written, as you said");
    assertThat(lanes.summary()).isEqualTo("4 lanes in 4 files. 1 is not written.");
    lanes.setMerged(row("CAM-B/b1.mp4", 0), false);
    assertThat(row("CAM-B/b1.mp4", 1).cautions()).containsExactly("both sides alike");
    lanes.setMerged(row("CAM-B/b1.mp4", 0), true);
    assertThat(lanes.rowsProperty().get()).hasSize(5);
    // What is no such pair cannot be merged.
    lanes.setMerged(row("CAM-A/a1.mov", 0), true);
    assertThat(lanes.rowsProperty().get()).hasSize(5);
  }

  @Test
  void filesAreLaidOutAndNamedAsChosen() {
    lanes.setLayout(Layout.DEVICE);
    lanes.setPoly(true);
    lanes.setSamples(SampleChoice.PCM16);
    lanes.setCorrection(DriftCorrection.OFF);
    assertThat(lanes.files().arrangement().layout()).isEqualTo(Layout.DEVICE);
    assertThat(lanes.files().correction()).isEqualTo(DriftCorrection.OFF);
    assertThat(row("CAM-A/a1.mov", 0).fileWords()).isEqualTo("CAM-A_1_poly.wav");
    assertThat(row("REC/take-01.wav", 0).cautions())
        .containsExactly("more detail than this format holds: rounded, peaks may be cut off");
    assertThat(row("CAM-A/a1.mov", 0).cautions()).isEmpty();
    for (int i = 0; i < 4; i++) {
      edits.undo();
    }
    assertThat(lanes.files()).isEqualTo(Wishes.Files.USUAL);
  }

  @Test
  void aTemplateIsTriedBeforeItIsTaken() {
    assertThat(lanes.preview("{shoot}-{lane}")).isEqualTo("Such as supper-left.wav");
    lanes.chosenProperty().set(row("REC/take-01.wav", 1));
    assertThat(lanes.preview("{device}-{channel}")).isEqualTo("Such as REC-2.wav");
    assertThat(lanes.problem("{device}-{nonsense}")).contains("{nonsense}");
    assertThat(lanes.preview("all")).isEmpty();
    lanes.setNames("all");
    assertThat(lanes.files()).isEqualTo(Wishes.Files.USUAL);
    lanes.setNames("{device}-{channel}");
    assertThat(row("REC/take-01.wav", 1).fileWords()).isEqualTo("REC-2.wav");
  }
}
