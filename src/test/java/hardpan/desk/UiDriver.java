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
import java.util.function.Supplier;
import javafx.application.Platform;
import javafx.beans.Observable;
import javafx.beans.value.ObservableValue;
import javafx.scene.Node;
import javafx.scene.image.WritableImage;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import javax.imageio.ImageIO;
import org.jspecify.annotations.Nullable;
import org.testfx.api.FxRobot;
import org.testfx.api.FxToolkit;

/** Drives a real window: keys and clicks go through the toolkit's own robot. */
final class UiDriver implements AutoCloseable {
  private static final long PATIENCE_SECONDS = 120;

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
  }

  void awaitNotice() throws Exception {
    await(
        "a message",
        () -> model.noticeProperty().get() != null && !model.workingProperty().get(),
        model.noticeProperty(),
        model.workingProperty());
  }

  void press(KeyCode... keys) {
    robot.press(keys).release(keys);
  }

  void type(String text) {
    robot.write(text);
  }

  void click(String id) {
    robot.clickOn("#" + id);
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

  /** Keeps what the window shows as a picture for people to look at. */
  BufferedImage picture(String name) throws Exception {
    BufferedImage image =
        onUi(
            () -> {
              WritableImage shot = stage.getScene().snapshot(null);
              int width = (int) shot.getWidth();
              int height = (int) shot.getHeight();
              BufferedImage copy = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
              for (int y = 0; y < height; y++) {
                for (int x = 0; x < width; x++) {
                  copy.setRGB(x, y, shot.getPixelReader().getArgb(x, y));
                }
              }
              return copy;
            });
    try {
      Path folder = Files.createDirectories(Path.of("target", "screenshots"));
      ImageIO.write(image, "png", folder.resolve(name + ".png").toFile());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return image;
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
