package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.Mark;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import javafx.application.Platform;
import javafx.scene.Node;
import javafx.scene.input.KeyCode;
import javafx.stage.Window;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.testfx.util.WaitForAsyncUtils;

/** What is seen for a moment only: work under way, a question, what has no place. */
@ExtendWith(TextLayoutPresent.class)
@NullUnmarked
class MomentsWindowTest {
  @TempDir Path folder;

  private UiDriver ui;

  @BeforeEach
  void openWindow() throws Exception {
    ui = new UiDriver(folder.resolve("data"));
    ui.dialogs.folder = SmallShoot.write(Files.createDirectory(folder.resolve("brandal")));
  }

  @AfterEach
  void closeWindow() throws Exception {
    ui.close();
  }

  private void open() throws Exception {
    ui.click("choose");
    ui.awaitShoot();
  }

  @Test
  void aHandOverUnderWayCanBeStopped() throws Exception {
    open();
    CompletableFuture<Boolean> seen = new CompletableFuture<>();
    ui.pictureWhen(
        "handing-over",
        () -> {
          boolean writing = ui.model().workingProperty().get() && isWriting();
          if (writing) {
            seen.complete(isSeen("cancel") && isSeen("progress") && !isSeen("handover"));
          }
          return writing;
        },
        ui.model().stageProperty());
    ui.click("handover");
    assertTrue(seen.get(60, TimeUnit.SECONDS), "stop and progress are not to be seen");
    ui.awaitNotice();
  }

  private boolean isWriting() {
    String stage = ui.model().stageProperty().get();
    return stage != null && stage.startsWith("Writing");
  }

  private boolean isSeen(String id) {
    for (Node at = ui.stage().getScene().lookup("#" + id); at != null; at = at.getParent()) {
      if (!at.isVisible()) {
        return false;
      }
    }
    return true;
  }

  /** Enter must not be what removes a hand-over or stops the work. */
  @Test
  void aQuestionIsAnsweredWithNoByEnter() throws Exception {
    open();
    String path = folder.resolve("brandal-handover").toString();
    ask("replace-question", Texts.of("replace.question", path), "replace");
    ask("close-question", Texts.of("close.question"), "close");
  }

  private void ask(String name, String question, String answers) throws Exception {
    CompletableFuture<Boolean> answer = new CompletableFuture<>();
    Platform.runLater(
        () -> {
          FxDialogs dialogs = new FxDialogs(ui.stage());
          dialogs.dressAs(
              new DeskWindow(ui.model(), page -> {}, new DeskSettings(folder.resolve("look"))));
          answer.complete(
              dialogs.confirm(question, Texts.of(answers + ".yes"), Texts.of(answers + ".no")));
        });
    WaitForAsyncUtils.waitFor(60, TimeUnit.SECONDS, () -> ui.onUi(() -> question() != null));
    ui.settle();
    ui.onUi(
        () -> {
          UiDriver.keep(name, UiDriver.shot(Objects.requireNonNull(question()).getScene(), 1));
          return true;
        });
    ui.press(KeyCode.ENTER);
    assertFalse(answer.get(60, TimeUnit.SECONDS));
  }

  /** The window of the question; null while there is none. */
  private Window question() {
    return Window.getWindows().stream()
        .filter(window -> window != ui.stage() && window.isShowing() && window.isFocused())
        .findFirst()
        .orElse(null);
  }

  private SourceRow stranger() throws Exception {
    return ui.onUi(
        () ->
            ui.model().shootProperty().get().rows().stream()
                .filter(row -> row.path().equals("CAM-B/street.wav"))
                .findFirst()
                .orElseThrow());
  }

  @Test
  void whatHasNoPlaceIsAWarningAndSaysWhatCanBeDone() throws Exception {
    SmallShoot.addStranger(folder.resolve("brandal"));
    open();
    SourceRow row = stranger();
    String found = ui.onUi(() -> ui.model().shootProperty().get().details(row).toString());
    assertEquals(Mark.WARNING, row.findingMark(), found);
    assertEquals("1 warning", stranger().findingWords());
    String overview = ui.onUi(() -> ui.model().shootProperty().get().overview());
    assertTrue(overview.startsWith("1 of 3 sources has faults, 1 has no place."), overview);
    ui.picture("without-place");
    ui.click("tray-by-hand");
    assertEquals(stranger(), ui.onUi(() -> ui.model().chosenProperty().get()));
    assertTrue(ui.isShown("place"));
    ui.click("tray-leave-out");
    ui.awaitShoot();
    assertEquals(List.of("CAM-B/street.wav"), excluded());
    assertNull(stranger().findingMark());
    assertNull(ui.find("tray-leave-out", Node.class));
  }

  private List<String> excluded() throws Exception {
    return ui.onUi(() -> List.copyOf(ui.model().edits().wishesProperty().get().excluded()));
  }
}
