package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.FakeDialogs;
import hardpan.desk.model.ShootJob;
import hardpan.shoot.SavedShoots;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Function;
import java.util.function.Supplier;
import javafx.application.Platform;
import javafx.beans.Observable;
import javafx.beans.value.ObservableValue;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.SnapshotParameters;
import javafx.scene.control.Labeled;
import javafx.scene.control.TextInputControl;
import javafx.scene.image.WritableImage;
import javafx.scene.input.KeyCode;
import javafx.scene.transform.Transform;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import org.jspecify.annotations.Nullable;
import org.testfx.api.FxRobot;
import org.testfx.api.FxToolkit;

/**
 * Drives a real window: keys and clicks go through the toolkit's own robot. Whatever it does ends
 * with the window laid out and drawn, so that what is looked at next is what a person would see;
 * what is looked at is read on the toolkit's thread.
 */
final class UiDriver implements AutoCloseable {
  private static final long PATIENCE_SECONDS = 120;

  /** The first lays out what was done; listeners to the layout may ask for another. */
  private static final int LEAST_PICTURES = 2;

  private static final int MOST_PICTURES = 50;

  final FakeDialogs dialogs = new FakeDialogs();
  final List<Path> opened = new ArrayList<>();
  private final List<String> stages = new CopyOnWriteArrayList<>();
  private final FxRobot robot = new FxRobot();
  private final Stage stage;
  private final DeskModel model;

  private record Window(Stage stage, DeskModel model) {}

  /**
   * Opens a window.
   *
   * @param data where shoots and settings are kept
   */
  UiDriver(Path data) throws Exception {
    FxToolkit.registerPrimaryStage();
    Window window =
        onUi(
            () -> {
              Stage made = new Stage();
              DeskModel deskModel =
                  new DeskModel(
                      new ShootJob(new SavedShoots(data)),
                      DeskModel.Starter.THREADS,
                      Platform::runLater,
                      dialogs);
              DeskSettings settings = new DeskSettings(data);
              DeskWindow desk = new DeskWindow(deskModel, opened::add, settings);
              DeskApplication.show(made, deskModel, desk, settings);
              return new Window(made, deskModel);
            });
    stage = window.stage();
    model = window.model();
    onUi(
        () -> {
          model.stageProperty().addListener((property, before, now) -> stages.add(now));
          return true;
        });
    // Keys go to the window that has the focus, which it gets a moment after it is shown.
    await("the window's focus", stage::isFocused, stage.focusedProperty());
    settle();
  }

  /** What the window has said that it does. */
  List<String> stagesSeen() {
    return List.copyOf(stages);
  }

  boolean wasSeen(String stageWords) {
    return stages.contains(stageWords);
  }

  DeskModel model() {
    return model;
  }

  Stage stage() {
    return stage;
  }

  /** Runs something on the toolkit's thread and waits for its result. */
  <T> T onUi(Callable<T> work) throws Exception {
    CompletableFuture<T> result = new CompletableFuture<>();
    Platform.runLater(
        () -> {
          try {
            result.complete(work.call());
          } catch (Exception | AssertionError e) {
            result.completeExceptionally(e);
          }
        });
    return result.get(PATIENCE_SECONDS, TimeUnit.SECONDS);
  }

  /** Does something on the toolkit's thread and waits until the window shows what came of it. */
  void change(Runnable change) throws Exception {
    onUi(
        () -> {
          change.run();
          return true;
        });
    settle();
  }

  /** Waits until all that was done so far has been laid out and drawn. */
  void settle() throws Exception {
    int pictures = 0;
    boolean still = true;
    while (still && pictures < MOST_PICTURES) {
      nextPicture();
      pictures++;
      still =
          onUi(() -> stage.isShowing() && stage.getScene().getRoot().isNeedsLayout())
              || pictures < LEAST_PICTURES;
    }
  }

  /** Waits for the toolkit's next pulse; a window that is closed has none. */
  private void nextPicture() throws Exception {
    CountDownLatch drawn = new CountDownLatch(1);
    Runnable listener = drawn::countDown;
    Scene scene =
        onUi(
            () -> {
              Scene now = stage.getScene();
              if (stage.isShowing()) {
                now.addPostLayoutPulseListener(listener);
                Platform.requestNextPulse();
              } else {
                drawn.countDown();
              }
              return now;
            });
    if (!drawn.await(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("the window is not drawn any more");
    }
    onUi(
        () -> {
          scene.removePostLayoutPulseListener(listener);
          return true;
        });
  }

  /** Waits until something holds; looks again whenever one of the values changes. */
  void await(String what, Supplier<Boolean> condition, ObservableValue<?>... values)
      throws Exception {
    CountDownLatch holds = new CountDownLatch(1);
    onUi(
        () -> {
          for (ObservableValue<?> value : values) {
            value.addListener(
                (Observable changed) ->
                    // Later, so that all who listen to the same change have seen it.
                    Platform.runLater(
                        () -> {
                          if (condition.get()) {
                            holds.countDown();
                          }
                        }));
          }
          if (condition.get()) {
            holds.countDown();
          }
          return true;
        });
    if (!holds.await(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("waited in vain for: " + what);
    }
  }

  void awaitShoot() throws Exception {
    await(
        "a shoot on show",
        () -> model.shootProperty().get() != null && !model.workingProperty().get(),
        model.shootProperty(),
        model.workingProperty());
    settle();
  }

  void awaitNotice() throws Exception {
    await(
        "a message",
        () -> model.noticeProperty().get() != null && !model.workingProperty().get(),
        model.noticeProperty(),
        model.workingProperty());
    settle();
  }

  void press(KeyCode... keys) throws Exception {
    robot.press(keys).release(keys);
    settle();
  }

  void type(String text) throws Exception {
    robot.write(text);
    settle();
  }

  /** Clicks on something; waits before for what cannot be clicked on yet. */
  void click(String id) throws Exception {
    long patienceEnds = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    do {
      settle();
      if (System.nanoTime() > patienceEnds) {
        throw new AssertionError("waited in vain to click on " + id);
      }
    } while (!onUi(() -> isClickable(stage.getScene().lookup("#" + id))));
    robot.clickOn("#" + id);
    settle();
  }

  private static boolean isClickable(@Nullable Node node) {
    return node != null && isSeen(node) && !node.isDisabled();
  }

  private static boolean isSeen(Node node) {
    for (Node at = node; at != null; at = at.getParent()) {
      if (!at.isVisible()) {
        return false;
      }
    }
    return true;
  }

  /** Presses Tab until a control has the keyboard. */
  void tabTo(String id) throws Exception {
    List<String> passed = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      String now = focused();
      if (id.equals(now)) {
        return;
      }
      passed.add(String.valueOf(now));
      press(KeyCode.TAB);
    }
    throw new AssertionError("Tab never reached " + id + ", but " + passed);
  }

  @Nullable String focused() throws Exception {
    return onUi(
        () -> {
          Node owner = stage.getScene().getFocusOwner();
          return owner == null ? null : owner.getId();
        });
  }

  <T extends Node> T find(String id, Class<T> type) throws Exception {
    return onUi(() -> type.cast(stage.getScene().lookup("#" + id)));
  }

  /** Reads something of a part of the window. */
  <T extends Node, R> R read(String id, Class<T> type, Function<T, R> look) throws Exception {
    return onUi(() -> look.apply(type.cast(stage.getScene().lookup("#" + id))));
  }

  /** The words of a label, a button or a field. */
  String text(String id) throws Exception {
    return read(
        id,
        Node.class,
        node ->
            node instanceof TextInputControl field ? field.getText() : ((Labeled) node).getText());
  }

  /** Whether a part of the window is there to be seen, whatever covers it. */
  boolean isShown(String id) throws Exception {
    return read(id, Node.class, UiDriver::isSeen);
  }

  /** Keeps what the window shows as a picture for people to look at. */
  BufferedImage picture(String name) throws Exception {
    return picture(name, 1);
  }

  /** The same on a screen with so many pixels for one. */
  BufferedImage picture(String name, double density) throws Exception {
    settle();
    BufferedImage image = onUi(() -> shot(stage.getScene(), density));
    keep(name, image);
    return image;
  }

  /** Keeps a picture of the moment in which something holds for the first time. */
  void pictureWhen(String name, Supplier<Boolean> holds, ObservableValue<?> value)
      throws Exception {
    AtomicBoolean taken = new AtomicBoolean();
    onUi(
        () -> {
          value.addListener(
              (Observable changed) -> {
                if (!taken.get() && holds.get()) {
                  taken.set(true);
                  keep(name, shot(stage.getScene(), 1));
                }
              });
          return true;
        });
  }

  /** What a scene shows; on the toolkit's thread. */
  static BufferedImage shot(Scene scene, double density) {
    SnapshotParameters parameters = new SnapshotParameters();
    parameters.setTransform(Transform.scale(density, density));
    WritableImage shot = scene.getRoot().snapshot(parameters, null);
    int width = (int) shot.getWidth();
    int height = (int) shot.getHeight();
    BufferedImage copy = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    for (int y = 0; y < height; y++) {
      for (int x = 0; x < width; x++) {
        copy.setRGB(x, y, shot.getPixelReader().getArgb(x, y));
      }
    }
    return copy;
  }

  static void keep(String name, BufferedImage image) {
    try {
      Path folder = Files.createDirectories(Path.of("target", "screenshots"));
      ImageIO.write(image, "png", folder.resolve(name + ".png").toFile());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public void close() throws Exception {
    onUi(
        () -> {
          stage.close();
          return true;
        });
    model.stopForGood();
  }
}
