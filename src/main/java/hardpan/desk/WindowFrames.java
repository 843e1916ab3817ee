package hardpan.desk;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.desk.clock.ClockField;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.Dialogs;
import hardpan.desk.model.ShootWork;
import hardpan.desk.model.StandInWork;
import hardpan.desk.model.Texts;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.report.Report;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSource;
import hardpan.shoot.ShootSteps;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import javafx.application.Platform;
import javafx.scene.Scene;
import javafx.scene.control.SplitPane;
import javafx.stage.Stage;
import org.jspecify.annotations.Nullable;

/**
 * Measures how fast the window draws a large shoot while somebody scrolls and zooms in it. Opens a
 * window; can be called once in a process.
 */
public final class WindowFrames {
  private static final int CLIPS = 100;
  private static final int CAMERAS = 10;
  static final double EVERY_SECONDS = 3700;
  static final double WIDTH = 1600;
  static final double HEIGHT = 1000;
  private static final double PICTURE_SHARE = 0.85;

  private WindowFrames() {}

  /**
   * Measures.
   *
   * @param clips clips of an hour; the shoot is made of them, over and over
   * @return a Markdown table
   * @throws NoScreenException if there is no screen
   * @throws ShootException if a clip cannot be read
   */
  public static String table(List<Path> clips, Monitor monitor)
      throws NoScreenException, ShootException {
    if (Desk.isLinuxWithoutDisplay()) {
      throw new NoScreenException(Texts.of("no-display", Texts.of("display-unset")), null);
    }
    ShootWork.Outcome outcome = shoot(clips, monitor);
    if (System.getProperty("prism.order") == null) {
      // The slowest that people have: no graphics card, or a window over the network.
      System.setProperty("prism.order", "sw");
    }
    CompletableFuture<String> result = new CompletableFuture<>();
    Path settings = clips.get(0).resolveSibling("settings");
    Platform.startup(() -> open(outcome, new DeskSettings(settings), monitor, result));
    try {
      return result.get();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException();
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } finally {
      Platform.exit();
    }
  }

  private static ShootWork.Outcome shoot(List<Path> clips, Monitor monitor) throws ShootException {
    Shoot read;
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor);
      read = steps.read(steps.find(clips));
    } catch (MediaException e) {
      throw new ShootException(ShootException.Reason.NOTHING_DONE, e.sentence());
    }
    List<ShootSource> sources = new ArrayList<>();
    String reference = "";
    for (int i = 0; i < CLIPS; i++) {
      ShootSource clip = read.sources().get(i % read.sources().size());
      String device = "CAM-" + (char) ('A' + i % CAMERAS);
      String path = device + "/" + i + "-" + clip.path();
      reference = i == 0 ? path : reference;
      int turn = i / CAMERAS;
      sources.add(
          new ShootSource(
              clip.file(),
              path,
              SourceFacts.Kind.CLIP,
              device,
              turn + 1,
              null,
              clip.analysis(),
              i == 0 ? null : placed(turn * EVERY_SECONDS + 7.3 * (i % CAMERAS))));
    }
    Shoot whole = new Shoot("hundred", sources, List.of(), reference);
    Report report = ReportMaker.report(whole, List.of(), OffsetDateTime.now(ZoneOffset.UTC));
    return new ShootWork.Outcome(whole, report, null);
  }

  private static Placement placed(double seconds) {
    return new Placement(
        Placement.State.PLACED, seconds, 3.0, false, 0.99, 0.1, 60.0, 0, 0, "", List.of());
  }

  private static void open(
      ShootWork.Outcome outcome,
      DeskSettings settings,
      Monitor monitor,
      CompletableFuture<String> result) {
    try {
      Stage stage = new Stage();
      DeskModel model =
          new DeskModel(
              new StandInWork(outcome), (name, work) -> work.run(), Runnable::run, new Mute());
      DeskWindow window = new DeskWindow(model, page -> {}, settings);
      stage.setScene(new Scene(window.root(), WIDTH, HEIGHT));
      stage.show();
      model.open(List.of(Path.of("hundred")));
      if (stage.getScene().lookup(".split-pane") instanceof SplitPane split) {
        split.setDividerPositions(PICTURE_SHARE);
      }
      if (stage.getScene().lookup("#clock") instanceof ClockField field) {
        new FrameTour(field, model, monitor, stage, result).start();
      } else {
        result.completeExceptionally(new IllegalStateException("no picture in the window"));
      }
    } catch (RuntimeException e) {
      result.completeExceptionally(e);
    }
  }

  /** Nobody is asked anything. */
  private static final class Mute implements Dialogs {
    @Override
    public Optional<Path> chooseFolder(String title, @Nullable Path start) {
      return Optional.empty();
    }

    @Override
    public boolean confirm(String question, String yes, String no) {
      return false;
    }
  }
}
