package hardpan.desk;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.desk.clock.ClockField;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.Dialogs;
import hardpan.desk.model.ShootWork;
import hardpan.desk.model.Texts;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.report.Report;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.ShootSource;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.lang.management.ManagementFactory;
import java.lang.management.OperatingSystemMXBean;
import java.lang.management.ThreadMXBean;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.function.IntConsumer;
import javafx.animation.AnimationTimer;
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
  private static final double EVERY_SECONDS = 3700;
  private static final double WIDTH = 1600;
  private static final double HEIGHT = 1000;
  private static final double PICTURE_SHARE = 0.85;
  private static final double ZOOM_STEP = 1.05;
  private static final double SCROLL_PIXELS = 9;

  private final ClockField field;
  private final DeskModel model;
  private final Monitor monitor;

  private WindowFrames(ClockField field, DeskModel model, Monitor monitor) {
    this.field = field;
    this.model = model;
    this.monitor = monitor;
  }

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
          new DeskModel(new Ready(outcome), (name, work) -> work.run(), Runnable::run, new Mute());
      DeskWindow window = new DeskWindow(model, page -> {}, settings);
      stage.setScene(new Scene(window.root(), WIDTH, HEIGHT));
      stage.show();
      model.open(List.of(Path.of("hundred")));
      if (stage.getScene().lookup(".split-pane") instanceof SplitPane split) {
        split.setDividerPositions(PICTURE_SHARE);
      }
      if (stage.getScene().lookup("#clock") instanceof ClockField field) {
        new WindowFrames(field, model, monitor).start(stage, result);
      } else {
        result.completeExceptionally(new IllegalStateException("no picture in the window"));
      }
    } catch (RuntimeException e) {
      result.completeExceptionally(e);
    }
  }

  /** A stretch of the tour: a step with each picture of the screen. */
  private record Leg(String name, int pictures, Runnable before, IntConsumer step) {}

  private void start(Stage stage, CompletableFuture<String> result) {
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    field.timeBy(threads::getCurrentThreadCpuTime);
    List<Leg> legs = new ArrayList<>();
    legs.add(new Leg("", 200, this::all, i -> zoom(i % 100 < 50 ? ZOOM_STEP : 1 / ZOOM_STEP)));
    legs.add(
        new Leg(
            "along the time, an hour seen", 600, () -> seen(3600), i -> along(i / 150 % 2 == 0)));
    legs.add(
        new Leg(
            "up and down, the whole shoot seen",
            400,
            this::all,
            i -> field.scrollBy(i / 50 % 2 == 0 ? SCROLL_PIXELS : -SCROLL_PIXELS)));
    legs.add(
        new Leg(
            "from the whole shoot to single samples and back, twice",
            1400,
            this::all,
            i -> zoom(i / 350 % 2 == 0 ? ZOOM_STEP : 1 / ZOOM_STEP)));
    legs.add(new Leg("along the time, a minute seen", 600, () -> seen(60), i -> along(i < 300)));
    legs.add(
        new Leg("along the time, single samples", 600, () -> seen(0.005), i -> along(i < 300)));
    legs.add(new Leg("the cursor alone", 400, () -> seen(600), this::cursor));
    new Driver(legs, stage, result).start();
  }

  private ClockModel clock() {
    return field.model().orElseThrow();
  }

  private ClockScale scale() {
    ClockScale scale = field.scale();
    if (scale == null) {
      throw new IllegalStateException("nothing is shown");
    }
    return scale;
  }

  private void all() {
    ClockScale now = field.scale();
    if (now != null) {
      field.show(ClockScale.fit(clock().firstSecond(), clock().lastSecond(), now.pixels()));
    }
  }

  private void seen(double seconds) {
    double middle = 2.5 * EVERY_SECONDS;
    field.show(
        new ClockScale(middle, seconds / scale().pixels(), scale().pixels()).moved(0, clock()));
  }

  private void zoom(double factor) {
    ClockScale now = field.scale();
    if (now != null) {
      field.show(now.zoomed(factor, now.pixels() * 0.4, clock()));
    }
  }

  private void along(boolean onwards) {
    field.show(scale().moved(onwards ? SCROLL_PIXELS : -SCROLL_PIXELS, clock()));
  }

  private void cursor(int step) {
    model.cursor().secondsProperty().set(scale().seconds(step * 3.0 % scale().pixels()));
  }

  /** Goes leg by leg and notes the times. */
  private final class Driver extends AnimationTimer {
    private final List<Leg> legs;
    private final Stage stage;
    private final CompletableFuture<String> result;
    private final StringBuilder rows = new StringBuilder();
    private int leg;
    private int picture = -1;
    private long before;
    private long drawsBefore;
    private double[] draws = new double[0];
    private double[] intervals = new double[0];

    Driver(List<Leg> legs, Stage stage, CompletableFuture<String> result) {
      this.legs = legs;
      this.stage = stage;
      this.result = result;
    }

    @Override
    public void handle(long now) {
      try {
        next(now);
      } catch (RuntimeException e) {
        stop();
        result.completeExceptionally(e);
      }
    }

    private void next(long now) {
      Leg current = legs.get(leg);
      if (picture < 0) {
        monitor.checkCancelled();
        monitor.progress("moving about", (double) leg / legs.size());
        current.before().run();
        draws = new double[current.pictures()];
        intervals = new double[current.pictures()];
      } else {
        if (picture > 0) {
          intervals[picture - 1] = (now - before) / 1e6;
          draws[picture - 1] = field.lastDrawNanos() / 1e6;
        } else {
          drawsBefore = field.drawCount();
        }
        if (picture == current.pictures()) {
          row(current);
          return;
        }
        current.step().accept(picture);
      }
      before = now;
      picture++;
    }

    private void row(Leg current) {
      long drawn = field.drawCount() - drawsBefore;
      if (!current.name().isEmpty()) {
        rows.append(
            String.format(
                Locale.ROOT,
                "| %s | %d | %d | %s | %s |%n",
                current.name(),
                current.pictures(),
                drawn,
                drawn < current.pictures() / 2 ? "\u2013" : figures(draws),
                figures(intervals)));
      }
      leg++;
      picture = -1;
      if (leg == legs.size()) {
        stop();
        stage.close();
        result.complete(head() + rows + load());
      }
    }

    private String head() {
      return String.format(
          Locale.ROOT,
          "Picture of the shoot: %.0f x %.0f pixels in a window of %.0f x %.0f; rendering: %s; glass: %s.%n%n"
              + "| what moves | pictures | drawn | draw, ms: median, 95 %%, 99 %%, largest | interval, ms:"
              + " median, 95 %%, 99 %%, largest |%n|---|---|---|---|---|%n",
          field.getWidth(),
          field.getHeight(),
          WIDTH,
          HEIGHT,
          System.getProperty("prism.order"),
          Optional.ofNullable(System.getProperty("glass.platform")).orElse("the system's own"));
    }

    /** Other work on the machine makes the intervals longer, so it must be told. */
    private static String load() {
      OperatingSystemMXBean system = ManagementFactory.getOperatingSystemMXBean();
      return String.format(
          Locale.ROOT,
          "%nWhile this was measured the machine's load average was %.1f on %d processors.%n",
          system.getSystemLoadAverage(),
          system.getAvailableProcessors());
    }

    private static String figures(double[] times) {
      double[] sorted = times.clone();
      Arrays.sort(sorted);
      return String.format(
          Locale.ROOT,
          "%.1f, %.1f, %.1f, %.1f",
          sorted[sorted.length / 2],
          sorted[(int) (sorted.length * 0.95)],
          sorted[(int) (sorted.length * 0.99)],
          sorted[sorted.length - 1]);
    }
  }

  /** Has the shoot already. */
  private record Ready(ShootWork.Outcome outcome) implements ShootWork, ShootWork.Session {
    @Override
    public Session open(List<Path> roots) {
      return this;
    }

    @Override
    public List<SavedShoots.Recent> recent() {
      return List.of();
    }

    @Override
    public void forget(SavedShoots.Recent shoot) {}

    @Override
    public Optional<Outcome> kept() {
      return Optional.empty();
    }

    @Override
    public Wishes wishes() {
      return Wishes.NONE;
    }

    @Override
    public boolean isLinedUpFor(Wishes wishes) {
      return true;
    }

    @Override
    public boolean needsReading(Wishes wishes) {
      return false;
    }

    @Override
    public Outcome read(Wishes wishes, Monitor monitor) {
      return outcome;
    }

    @Override
    public Outcome lineUp(Wishes wishes, Monitor monitor) {
      return outcome;
    }

    @Override
    public ShootSession.Changes changes(Monitor monitor) {
      throw new UnsupportedOperationException("nothing was kept");
    }

    @Override
    public void keep(Wishes wishes) {}

    @Override
    public Optional<String> trouble() {
      return Optional.empty();
    }

    @Override
    public void close() {}

    @Override
    public boolean wouldReplace(Shoot shoot, Path target) {
      return false;
    }

    @Override
    public Outcome handOver(
        Shoot shoot, Path target, boolean replace, Wishes wishes, Monitor monitor) {
      return outcome;
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
