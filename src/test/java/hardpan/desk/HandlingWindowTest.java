package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.desk.clock.ClockField;
import hardpan.desk.model.ClockScale;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.control.ListView;
import javafx.scene.control.SplitPane;
import javafx.scene.control.TextArea;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyCode;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** How the window handles: its parting lines, its keys, and the cursor. */
@ExtendWith(TextLayoutPresent.class)
@NullUnmarked
class HandlingWindowTest {
  private UiDriver ui;

  @BeforeEach
  void openShoot(@TempDir Path temporary) throws Exception {
    ui = new UiDriver(temporary.resolve("data"));
    ui.dialogs.folder = SmallShoot.write(Files.createDirectory(temporary.resolve("brandal")));
    ui.click("choose");
    ui.awaitShoot();
  }

  @AfterEach
  void closeWindow() throws Exception {
    ui.close();
  }

  private void choose(int index) throws Exception {
    ListView<?> sources = ui.find("sources", ListView.class);
    ui.change(() -> sources.getSelectionModel().select(index));
  }

  private void focus(String id) throws Exception {
    ui.change(() -> ui.stage().getScene().lookup("#" + id).requestFocus());
  }

  /** The two parting lines of the page of the sources. */
  private double[] dividers() throws Exception {
    return ui.onUi(
        () -> splits().stream().mapToDouble(one -> one.getDividerPositions()[0]).toArray());
  }

  private List<SplitPane> splits() {
    Node details = ui.stage().getScene().lookup("#details");
    List<SplitPane> splits = new ArrayList<>();
    for (Node at = details; at != null; at = at.getParent()) {
      if (at instanceof SplitPane split) {
        splits.add(split);
      }
    }
    return splits;
  }

  @Test
  void partingLinesComeBackToWhereAPersonHadPutThem() throws Exception {
    choose(0);
    ui.change(
        () -> {
          splits().get(0).setDividerPositions(0.55);
          splits().get(1).setDividerPositions(0.62);
        });
    double[] own = dividers();
    assertArrayEquals(new double[] {0.55, 0.62}, own, 0.02);
    ui.click("details-larger");
    double[] large = dividers();
    assertTrue(large[0] < own[0] - 0.1 && large[1] < own[1] - 0.1, large[0] + " " + large[1]);
    ui.click("details-larger");
    assertArrayEquals(own, dividers(), 0.01);
  }

  @Test
  void whatWasLeftAsideIsListedWithItsReasonAndEscapeClosesIt() throws Exception {
    assertFalse(ui.isShown("left-aside-list"));
    ui.click("left-aside");
    assertTrue(ui.isShown("left-aside-list"));
    String list = ui.text("left-aside-list");
    assertTrue(list.startsWith("notes.txt: "), list);
    assertTrue(list.length() > "notes.txt: ".length() + 10, list);
    assertFalse(ui.read("left-aside-list", TextArea.class, TextArea::isEditable));
    ui.picture("left-aside-light");
    focus("left-aside-list");
    ui.press(KeyCode.ESCAPE);
    assertFalse(ui.isShown("left-aside-list"));
    assertEquals("left-aside", ui.focused());
    ui.press(KeyCode.SPACE);
    assertTrue(ui.isShown("left-aside-list"));
    ui.click("dark");
    ui.picture("left-aside-dark");
  }

  @Test
  void escapeInTheListOfSourcesChoosesNone() throws Exception {
    choose(1);
    assertEquals("REC/hall.wav", ui.onUi(() -> ui.model().chosenProperty().get().path()));
    focus("sources");
    ui.press(KeyCode.ESCAPE);
    assertNull(ui.onUi(() -> ui.model().chosenProperty().get()));
    assertEquals("What was found", ui.text("details-title"));
  }

  @Test
  void shortcutAndADigitTurnThePagesFromWherever() throws Exception {
    ClockField field = ui.find("clock", ClockField.class);
    for (String from : List.of("clock", "target", "sources")) {
      ui.press(KeyCode.CONTROL, KeyCode.DIGIT1);
      assertEquals("sources", ui.focused());
      focus(from);
      ClockScale before = ui.onUi(field::scale);
      assertNotNull(before);
      ui.press(KeyCode.CONTROL, KeyCode.DIGIT2);
      assertEquals("lanes", ui.focused(), "from " + from);
      assertTrue(ui.isShown("lanes"));
      assertEquals(before, ui.onUi(field::scale));
    }
  }

  @Test
  void lettersAreLettersWhileSomebodyTypes() throws Exception {
    choose(0);
    ClockField field = ui.find("clock", ClockField.class);
    ui.change(() -> ui.model().cursor().secondsProperty().set(15));
    ClockScale before = ui.onUi(field::scale);
    assertNotNull(before);
    String typed = "n1p0+-?";
    ui.click("details-place");
    for (String id : List.of("place-typed", "target")) {
      TextField text = ui.find(id, TextField.class);
      ui.change(
          () -> {
            text.requestFocus();
            text.clear();
          });
      ui.type(typed);
      assertEquals(typed, ui.text(id), id);
    }
    ui.press(KeyCode.CONTROL, KeyCode.DIGIT2);
    ui.press(KeyCode.ENTER);
    assertEquals("lane-name", ui.focused());
    ui.type(typed);
    assertEquals(typed, ui.text("lane-name"));
    assertFalse(ui.isShown("keys"));
    assertEquals(before, ui.onUi(field::scale));
    assertEquals(15, ui.onUi(() -> ui.model().cursor().secondsProperty().get()));
    assertNull(ui.onUi(() -> ui.model().edits().undoWordsProperty().get()));
  }

  @Test
  void theCursorStandsAtItsInstantAndItsTimeBelowThePicture() throws Exception {
    ClockField field = ui.find("clock", ClockField.class);
    Node line = ui.onUi(() -> ui.stage().getScene().lookup(".hp-clock-cursor"));
    assertFalse(ui.onUi(line.getParent()::isVisible));
    ClockScale scale = ui.onUi(field::scale);
    for (double seconds : new double[] {0.25, 12.5, 39.9}) {
      ui.change(() -> ui.model().cursor().secondsProperty().set(seconds));
      ui.onUi(
          () -> {
            assertTrue(line.getParent().isVisible());
            Bounds drawn = line.localToScene(line.getBoundsInLocal());
            Bounds all = field.localToScene(field.getBoundsInLocal());
            assertEquals(all.getMinX() + scale.x(seconds), drawn.getMinX(), 1.5);
            assertTrue(
                drawn.getHeight() > 40 && drawn.getMaxY() <= all.getMaxY() + 1, drawn.toString());
            return true;
          });
      String time = String.format(Locale.ROOT, "0:%06.3f", seconds);
      String words = ui.text("clock-words");
      assertTrue(words.startsWith("Cursor at " + time), words);
    }
    ui.picture("cursor-light");
    ui.change(() -> ui.model().cursor().secondsProperty().set(Double.NaN));
    assertFalse(ui.onUi(line.getParent()::isVisible));
  }
}
