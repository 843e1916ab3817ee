package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.desk.clock.ClockField;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Tone;
import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import javafx.event.Event;
import javafx.geometry.Point2D;
import javafx.scene.control.SplitPane;
import javafx.scene.input.KeyCode;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.PickResult;
import javafx.scene.input.ScrollEvent;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** The picture of the shoot on the toolkit, without a screen. */
@ExtendWith(TextLayoutPresent.class)
class ClockWindowTest {
  private Path folder;
  private UiDriver ui;
  private ClockField field;

  @BeforeEach
  void openWindow(@TempDir Path temporary) throws Exception {
    folder = temporary;
    ui = new UiDriver(temporary.resolve("data"));
    ui.dialogs.folder = SmallShoot.write(Files.createDirectory(temporary.resolve("brandal")));
    ui.click("choose");
    ui.awaitShoot();
    field = ui.find("clock", ClockField.class);
    ui.tabTo("clock");
  }

  @AfterEach
  void closeWindow() throws Exception {
    ui.close();
  }

  private ClockScale scale() throws Exception {
    ClockScale scale = ui.onUi(field::scale);
    assertNotNull(scale);
    return scale;
  }

  private double cursor() throws Exception {
    return ui.onUi(() -> ui.model().cursor().secondsProperty().get());
  }

  private void cursor(double seconds) throws Exception {
    ui.change(() -> ui.model().cursor().secondsProperty().set(seconds));
  }

  private String words() throws Exception {
    return ui.text("clock-words");
  }

  private void wheel(double x, double y, double deltaY, boolean control, boolean shift)
      throws Exception {
    ui.change(
        () -> {
          Point2D onScreen = field.localToScreen(x, y);
          Point2D inScene = field.localToScene(x, y);
          Event.fireEvent(
              field,
              new ScrollEvent(
                  ScrollEvent.SCROLL,
                  inScene.getX(),
                  inScene.getY(),
                  onScreen.getX(),
                  onScreen.getY(),
                  shift,
                  control,
                  false,
                  false,
                  false,
                  false,
                  0,
                  deltaY,
                  0,
                  deltaY,
                  ScrollEvent.HorizontalTextScrollUnits.NONE,
                  0,
                  ScrollEvent.VerticalTextScrollUnits.NONE,
                  0,
                  0,
                  new PickResult(field, inScene.getX(), inScene.getY())));
        });
  }

  @Test
  void theWheelZoomsAboutTheHandAndShiftMovesAlong() throws Exception {
    ClockScale all = scale();
    double x = 300;
    double under = all.seconds(x);
    for (int i = 0; i < 12; i++) {
      wheel(x, 100, 40, true, false);
    }
    ClockScale near = scale();
    assertTrue(near.secondsPerPixel() < all.secondsPerPixel() / 10);
    double now = near.x(under) - x;
    assertEquals(0, now, 0.01);
    wheel(x, 100, -40, false, true);
    assertTrue(scale().startSeconds() > near.startSeconds());
    ui.press(KeyCode.DIGIT0);
    assertEquals(all, scale());
  }

  @Test
  void theKeysZoomAboutTheCursorDownToSingleSamples() throws Exception {
    cursor(12.25);
    double x = scale().x(12.25);
    for (int i = 0; i < 40; i++) {
      ui.press(KeyCode.PLUS);
    }
    ClockScale near = scale();
    assertEquals(x, near.x(12.25), 0.01);
    assertTrue(near.secondsPerPixel() < 1 / 48_000.0 / 10, "a sample has more than ten pixels");
    ui.press(KeyCode.DOWN);
    ui.press(KeyCode.ENTER);
    awaitSamples();
    ui.picture("clock-samples");
    assertTrue(words().contains("hall.wav, highest sample here: channel 1"), words());
    ui.press(KeyCode.MINUS);
    assertTrue(scale().secondsPerPixel() > near.secondsPerPixel());
  }

  /** What is seen closely is read in the background. */
  private void awaitSamples() throws Exception {
    for (int i = 0; i < 3000 && !ui.onUi(field::isComplete); i++) {
      ui.settle();
    }
    assertTrue(ui.onUi(field::isComplete), "not all samples were drawn");
  }

  @Test
  void arrowsMoveTheCursorByPixelPictureAndSample() throws Exception {
    ui.press(KeyCode.UP);
    ui.press(KeyCode.ENTER);
    cursor(20);
    double step = scale().secondsPerPixel();
    ui.press(KeyCode.RIGHT);
    assertEquals(20 + step, cursor(), 1e-9);
    cursor(20);
    ui.press(KeyCode.SHIFT, KeyCode.RIGHT);
    assertEquals(20.04, cursor(), 1e-9);
    ui.press(KeyCode.CONTROL, KeyCode.LEFT);
    assertEquals(20.04 - 1 / 48_000.0, cursor(), 1e-9);
    ui.press(KeyCode.HOME);
    assertEquals(0, cursor(), 1e-9);
    assertTrue(words().startsWith("Cursor at 0:00.000"), words());
    assertTrue(words().contains("hall.wav, highest sample here: channel 1"), words());
  }

  @Test
  void movingTheCursorDrawsNoWaveAnew() throws Exception {
    awaitSamples();
    long drawn = ui.onUi(field::drawCount);
    for (int i = 0; i < 20; i++) {
      cursor(10 + i * 0.5);
      ui.change(() -> ui.model().cursor().heardSecondsProperty().set(15));
    }
    assertEquals(drawn, ui.onUi(field::drawCount));
    assertTrue(words().endsWith("heard: 0:15.0"), words());
    ui.picture("clock-cursors");
  }

  @Test
  void aClickSetsTheCursorAndChooses() throws Exception {
    ui.click("clock");
    assertFalse(Double.isNaN(cursor()));
    double middle = ui.onUi(() -> Math.floor(field.getWidth() / 2));
    assertEquals(scale().seconds(middle), cursor(), 0.2);
  }

  @Test
  void upAndDownPointAndEnterChooses() throws Exception {
    ui.press(KeyCode.DOWN);
    assertEquals(null, ui.onUi(() -> ui.model().chosenProperty().get()));
    String spoken = ui.onUi(field::getAccessibleText);
    assertTrue(spoken.startsWith("At source 2, hall.wav. Enter chooses it."), spoken);
    ui.press(KeyCode.DOWN);
    ui.picture("clock-pointed");
    ui.press(KeyCode.ENTER);
    SourceRow chosen = ui.onUi(() -> ui.model().chosenProperty().get());
    assertEquals("CAM-A/CLIP0001.MOV", chosen.path());
    ui.press(KeyCode.DIGIT1);
    ClockScale fitted = scale();
    assertEquals(8, fitted.startSeconds(), 0.5);
    assertEquals(28, fitted.endSeconds(), 0.5);
  }

  /** On a screen with twice the pixels the picture has twice the pixels, and covers as much. */
  @Test
  void aDenseScreenIsDrawnInItsOwnPixels() throws Exception {
    int once = scale().pixels();
    double seconds = scale().endSeconds();
    ui.change(
        () -> {
          ui.stage().setRenderScaleX(2);
          ui.stage().setRenderScaleY(2);
        });
    assertEquals(2.0 * once, scale().pixels(), 1);
    assertEquals(seconds, scale().endSeconds(), 0.01);
    BufferedImage dense = ui.picture("clock-dense", 2);
    assertEquals(2 * ui.onUi(() -> ui.stage().getScene().getWidth()), dense.getWidth(), 2);
  }

  @Test
  void lightAndDarkDiffer() throws Exception {
    BufferedImage light = ui.picture("clock-light");
    Point2D middle = ui.onUi(() -> field.localToScene(200, 100));
    ui.click("dark");
    BufferedImage dark = ui.picture("clock-dark");
    int x = (int) middle.getX();
    int y = (int) middle.getY();
    assertNotEquals(light.getRGB(x, y), dark.getRGB(x, y));
  }

  @Test
  void theTimeOfDayIsShownWhereTheReferenceKnowsIt() throws Exception {
    assertFalse(ui.isShown("clock-figures"));
    cursor(12);
    assertEquals("Cursor at 0:12.000", words());
    ui.dialogs.folder = SmallShoot.writeWithStart(Files.createDirectory(folder.resolve("evening")));
    ui.click("another");
    ui.await(
        "the other shoot",
        () -> ui.model().shootProperty().get().name().equals("evening"),
        ui.model().shootProperty());
    ui.awaitShoot();
    assertTrue(ui.isShown("clock-figures"));
    cursor(12);
    assertEquals("Cursor at 0:12.000  \u00b7  time of day 20:00:02", words());
    ui.picture("clock-day-light");
    ui.click("dark");
    ui.picture("clock-day-dark");
  }

  /** Makes the picture so many pixels high. */
  private void high(double pixels) throws Exception {
    ui.change(
        () -> {
          SplitPane page = (SplitPane) ui.stage().getScene().lookup(".split-pane");
          double now = page.getDividerPositions()[0];
          page.setDividerPositions(now + (pixels - field.getHeight()) / page.getHeight());
        });
    assertEquals(pixels, ui.onUi(field::getHeight), 2);
  }

  private void press(double x, double y) throws Exception {
    ui.change(
        () -> {
          Point2D inScene = field.localToScene(x, y);
          Point2D onScreen = field.localToScreen(x, y);
          PickResult pick = new PickResult(field, inScene.getX(), inScene.getY());
          Event.fireEvent(
              field,
              new MouseEvent(
                  MouseEvent.MOUSE_PRESSED,
                  inScene.getX(),
                  inScene.getY(),
                  onScreen.getX(),
                  onScreen.getY(),
                  MouseButton.PRIMARY,
                  1,
                  false,
                  false,
                  false,
                  false,
                  true,
                  false,
                  false,
                  false,
                  false,
                  true,
                  pick));
        });
  }

  /** The pixels of the picture between two heights of it. */
  private int[] rows(double fromY, double toY) throws Exception {
    BufferedImage image = ui.picture("clock-scrolled");
    Point2D corner = ui.onUi(() -> field.localToScene(4, fromY));
    int width = ui.onUi(() -> (int) field.getWidth() - 40);
    int height = (int) (toY - fromY);
    return image.getRGB((int) corner.getX(), (int) corner.getY(), width, height, null, 0, width);
  }

  private String chosen() throws Exception {
    return ui.onUi(() -> ui.model().chosenProperty().get().path());
  }

  /** Its device's words, its own and its waveform; below it the rest goes by. */
  @Test
  void theReferenceStaysWhileTheRestScrolls() throws Exception {
    int referenceEnd = 16 + 22 + 20 + 18 + 32;
    high(180);
    int[] before = rows(16, referenceEnd);
    int[] restBefore = rows(referenceEnd + 8, 176);
    ui.change(() -> field.scrollBy(1000));
    assertArrayEquals(before, rows(16, referenceEnd));
    assertFalse(Arrays.equals(restBefore, rows(referenceEnd + 8, 176)));
    // The name of what goes by stands at the edge.
    int band = 0xff000000 | Integer.parseInt(Tone.BAND.hex(false).substring(1), 16);
    int[] edge = rows(referenceEnd + 8, referenceEnd + 20);
    assertTrue(
        Arrays.stream(edge).filter(pixel -> pixel == band).count() > 0.8 * edge.length,
        "no name at the edge");
    press(300, referenceEnd - 10);
    assertEquals("REC/hall.wav", chosen());
    press(300, 160);
    assertEquals("CAM-A/CLIP0001.MOV", chosen());
    ui.picture("clock-pinned");
    // Where it would leave no room for the rest it goes by as everything does.
    ui.change(() -> field.scrollBy(-1000));
    high(100);
    int[] small = rows(40, 96);
    ui.change(() -> field.scrollBy(1000));
    assertFalse(Arrays.equals(small, rows(40, 96)));
  }
}
