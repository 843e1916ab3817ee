package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.desk.model.PlaceByHand;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Times;
import hardpan.listen.SoundDevice;
import hardpan.listen.SoundOut;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.ListView;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Slider;
import javafx.scene.input.KeyCode;
import javafx.scene.layout.VBox;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.testfx.util.WaitForAsyncUtils;

/** One clip closely, in a real window. */
@ExtendWith(TextLayoutPresent.class)
class CloseWindowTest {
  @TempDir Path folder;

  private UiDriver ui;

  @BeforeEach
  void open() throws Exception {
    ui = new UiDriver(folder.resolve("data"));
    ui.dialogs.folder = SmallShoot.write(folder.resolve("brandal"));
    ui.click("choose");
    ui.awaitShoot();
    ListView<?> sources = ui.find("sources", ListView.class);
    ui.change(() -> sources.getSelectionModel().select(0));
  }

  @AfterEach
  void close() throws Exception {
    ui.close();
  }

  private void until(Callable<Boolean> condition) throws Exception {
    WaitForAsyncUtils.waitFor(60, TimeUnit.SECONDS, condition);
  }

  private String text(String id) throws Exception {
    return ui.text(id);
  }

  private static long plots(Parent parent) {
    return parent.getChildrenUnmodifiable().stream().filter(PlotView.class::isInstance).count();
  }

  @Test
  void picturesAreDrawnWithWordsInLightAndDark() throws Exception {
    ui.click("details-larger");
    ui.click("details-pictures");
    VBox pictures = ui.find("pictures", VBox.class);
    until(() -> ui.onUi(() -> plots(pictures)) == 6);
    for (Node node : ui.onUi(() -> List.copyOf(pictures.getChildren()))) {
      if (node instanceof PlotView plot) {
        assertTrue(plot.isFocusTraversable());
        assertTrue(plot.getAccessibleText().length() > 40, plot.getAccessibleText());
      }
    }
    assertNotEquals(0, ui.picture("close-pictures-light").getWidth());
    ui.click("dark");
    assertNotEquals(0, ui.picture("close-pictures-dark").getWidth());
  }

  /** Chooses a step and puts the keyboard into the field of the start. */
  private void step(PlaceByHand.Step step) throws Exception {
    ui.change(
        () -> {
          Parent root = ui.stage().getScene().getRoot();
          ComboBox<?> box = (ComboBox<?>) root.lookup("#place-step");
          box.getSelectionModel().select(box.getItems().indexOf(step));
          root.lookup("#place-typed").requestFocus();
        });
  }

  @Test
  void theKeyboardAloneMovesAClipAndTakesItBack() throws Exception {
    ui.tabTo("details-found");
    ui.press(KeyCode.RIGHT);
    ui.press(KeyCode.RIGHT);
    assertEquals("details-place", ui.focused());
    assertTrue(text("place-offset").startsWith("Starts at +8.0000"), text("place-offset"));
    ui.tabTo("nudge-millisecond-later");
    ui.press(KeyCode.SPACE);
    step(PlaceByHand.Step.SAMPLE);
    ui.press(KeyCode.UP);
    step(PlaceByHand.Step.PICTURE);
    ui.press(KeyCode.DOWN);
    assertEquals("place-typed", ui.focused());
    Wishes wishes = ui.onUi(() -> ui.model().edits().wishesProperty().get());
    assertEquals(1, wishes.pins().size());
    assertEquals(8 + 0.001 + 1 / 48_000.0 - 0.04, wishes.pins().get(0).offsetSeconds(), 1e-5);
    assertTrue(
        text("place-change").startsWith("Moved by hand: \u221238.979 ms"), text("place-change"));
    assertEquals("Starts at 0:07.961, 39 ms earlier than found", text("place-head"));
    ui.click("details-larger");
    ui.picture("close-place");
    ui.change(
        () -> {
          for (int i = 0; i < 3; i++) {
            ui.model().edits().undo();
          }
        });
    assertEquals("This is where its sound puts it.", text("place-change"));
    assertTrue(ui.read("place-hear-found", Button.class, Button::isDisabled));
  }

  @Test
  void aSentenceOpensWhatItRestsOn() throws Exception {
    ui.click("details-larger");
    Node details = ui.find("details", Node.class);
    long before = visibleLabels(details);
    ui.change(
        () -> {
          details.lookupAll(".hp-ask").stream().findFirst().orElseThrow().requestFocus();
        });
    ui.press(KeyCode.SPACE);
    ui.change(() -> ((ScrollPane) details).setVvalue(0.3));
    ui.picture("close-why");
    long after = visibleLabels(details);
    assertTrue(after > before + 3, before + " then " + after);
    ui.press(KeyCode.SPACE);
    assertEquals(before, visibleLabels(details));
  }

  private long visibleLabels(Node inside) throws Exception {
    return ui.onUi(
        () ->
            inside.lookupAll(".label").stream()
                .filter(
                    node -> {
                      for (Node at = node; at != null; at = at.getParent()) {
                        if (!at.isVisible()) {
                          return false;
                        }
                      }
                      return true;
                    })
                .count());
  }

  /** Takes a second of sound at once and waits then, as a device in no hurry. */
  private static final class SlowEar implements SoundDevice {
    final CountDownLatch gate = new CountDownLatch(1);
    final AtomicLong frames = new AtomicLong();

    @Override
    public SoundOut open() {
      return new SoundOut() {
        @Override
        public int rateHz() {
          return 48_000;
        }

        @Override
        public void write(float[] left, float[] right, int count) {
          if (frames.addAndGet(count) > 48_000) {
            try {
              gate.await(60, TimeUnit.SECONDS);
            } catch (InterruptedException e) {
              Thread.currentThread().interrupt();
            }
          }
        }

        @Override
        public long heardFrames() {
          return frames.get();
        }

        @Override
        public void drain() {}

        @Override
        public void close() {}
      };
    }
  }

  @Test
  void listeningStartsFollowsAndStops() throws Exception {
    SlowEar ear = new SlowEar();
    Button go =
        ui.onUi(
            () -> {
              Theme theme = new Theme();
              Parent root = new DetailsView(ui.model(), theme, ear).root();
              theme.dress(root);
              ui.stage().setScene(new Scene(root, 900, 500));
              return (Button) root.lookup("#listen");
            });
    assertEquals("Listening begins at 0:08.000 (clock of the reference)", text("listen-words"));
    assertTrue(
        text("listen-hearing").startsWith("Turn the computer's volume down"),
        text("listen-hearing"));
    ui.change(() -> go.requestFocus());
    ui.press(KeyCode.SPACE);
    until(
        () ->
            text("listen-words")
                .matches("Now at 0:0(8\\.9|9\\.0)[0-9]+ \\(clock of the reference\\)"));
    ui.onUi(
        () -> {
          double heard = ui.model().cursor().heardSecondsProperty().get();
          assertEquals(9, heard, 0.1);
          String words = ((Label) ui.stage().getScene().lookup("#listen-words")).getText();
          assertEquals(Texts.of("listen.at", Times.clock(heard, 3)), words);
          assertEquals("Stop l_istening", go.getText());
          return true;
        });
    ui.picture("close-listening");
    Slider volume = ui.find("listen-volume", Slider.class);
    ui.change(() -> volume.requestFocus());
    ui.press(KeyCode.LEFT);
    String loudness = ui.onUi(volume::getAccessibleText);
    assertTrue(loudness.contains("\u22122 dB"), loudness);
    ui.change(() -> go.fire());
    ear.gate.countDown();
    until(() -> ui.onUi(go::getText).equals("L_isten"));
    assertTrue(ear.frames.get() < 2 * 48_000, ear.frames + " frames");
    assertTrue(Double.isNaN(ui.onUi(() -> ui.model().cursor().heardSecondsProperty().get())));
    assertFalse(ui.onUi(go::isDisabled));
  }
}
