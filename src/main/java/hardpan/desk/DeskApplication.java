package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.ShootJob;
import hardpan.desk.model.Texts;
import hardpan.shoot.SavedShoots;
import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicReference;
import javafx.animation.Animation;
import javafx.animation.KeyFrame;
import javafx.animation.PauseTransition;
import javafx.animation.Timeline;
import javafx.application.Application;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.stage.Stage;
import javafx.util.Duration;
import org.jspecify.annotations.Nullable;

/** Puts the window together; made by the toolkit. */
public final class DeskApplication extends Application {
  private static final AtomicReference<@Nullable DeskModel> RUNNING = new AtomicReference<>();
  private static final double WIDTH = 1240;
  private static final double QUIET_MS = 300;
  private static final double LOOK_SECONDS = 4;
  private static final double HEIGHT = 780;

  /** For the toolkit. */
  public DeskApplication() {}

  @Override
  public void start(Stage stage) {
    SavedShoots saved = SavedShoots.ofThisPerson();
    DeskSettings settings = new DeskSettings(saved.folder());
    FxDialogs dialogs = new FxDialogs(stage);
    DeskModel model =
        new DeskModel(
            new ShootJob(saved), DeskModel.Starter.THREADS, Platform::runLater, dialogs, quiet());
    RUNNING.set(model);
    DeskWindow window =
        new DeskWindow(
            model, page -> getHostServices().showDocument(page.toUri().toString()), settings);
    show(stage, model, window, settings);
    dialogs.dressAs(window);
    lookNowAndThen(model);
    model.open(getParameters().getRaw().stream().map(Path::of).toList());
  }

  /** A held key decides many times a second; a line-up is worth beginning when it is let go. */
  private static DeskModel.Quiet quiet() {
    PauseTransition pause = new PauseTransition(Duration.millis(QUIET_MS));
    return next -> {
      pause.setOnFinished(event -> next.run());
      pause.playFromStart();
    };
  }

  /** A drive can be pulled at any time, and nobody tells. */
  private static void lookNowAndThen(DeskModel model) {
    Timeline look =
        new Timeline(new KeyFrame(Duration.seconds(LOOK_SECONDS), event -> model.lookAtSources()));
    look.setCycleCount(Animation.INDEFINITE);
    look.play();
  }

  /** The window is gone: keeps what is decided. */
  @Override
  public void stop() {
    stopRunning();
  }

  /** Puts a window on a stage and ties the two together. */
  static void show(Stage stage, DeskModel model, DeskWindow window, DeskSettings settings) {
    stage.setScene(new Scene(window.root(), WIDTH, HEIGHT));
    stage.setMinWidth(720);
    stage.setMinHeight(480);
    WindowPlace.restore(stage, settings);
    stage.setTitle(Texts.of("window.title"));
    model
        .shootProperty()
        .addListener(
            (property, before, now) ->
                stage.setTitle(
                    now == null
                        ? Texts.of("window.title")
                        : Texts.of("window.title-of", now.name())));
    stage.setOnCloseRequest(
        event -> {
          event.consume();
          window.close();
        });
    window.onClose(
        () ->
            model.close(
                () -> {
                  WindowPlace.keep(stage, settings);
                  stage.close();
                }));
    stage.show();
    window.focusFirst();
  }

  static boolean wasStarted() {
    return RUNNING.get() != null;
  }

  static void stopRunning() {
    DeskModel model = RUNNING.get();
    if (model != null) {
      // The toolkit ends by itself when the process does, so nothing must wait for its thread.
      model.stopForGood();
    }
  }
}
