package hardpan.desk;

import hardpan.base.Monitor;
import hardpan.desk.clock.ClockField;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.DeskModel;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.function.IntConsumer;
import javafx.animation.AnimationTimer;
import javafx.stage.Stage;

/** Moves about in the picture of the shoot, leg by leg, and has each one's times noted. */
final class FrameTour extends AnimationTimer {
  private static final double ZOOM_STEP = 1.05;
  private static final double SCROLL_PIXELS = 9;

  private final ClockField field;
  private final DeskModel model;
  private final Monitor monitor;
  private final Stage stage;
  private final CompletableFuture<String> result;
  private final List<Leg> legs;
  private final FrameTable table;
  private int leg;
  private int picture = -1;
  private long before;

  /** A stretch of the tour: a step with each picture of the screen. */
  private record Leg(String name, int pictures, Runnable before, IntConsumer step) {}

  /**
   * In an open window.
   *
   * @param result completed with a Markdown table, or with what went wrong
   */
  FrameTour(
      ClockField field,
      DeskModel model,
      Monitor monitor,
      Stage stage,
      CompletableFuture<String> result) {
    this.field = field;
    this.model = model;
    this.monitor = monitor;
    this.stage = stage;
    this.result = result;
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    field.timeBy(threads::getCurrentThreadCpuTime);
    this.table = new FrameTable(field, threads);
    this.legs = legs();
  }

  private List<Leg> legs() {
    List<Leg> made = new ArrayList<>();
    made.add(new Leg("", 200, this::all, i -> zoom(i % 100 < 50 ? ZOOM_STEP : 1 / ZOOM_STEP)));
    made.add(
        new Leg(
            "along the time, an hour seen", 600, () -> seen(3600), i -> along(i / 150 % 2 == 0)));
    made.add(
        new Leg(
            "up and down, the whole shoot seen",
            400,
            this::all,
            i -> field.scrollBy(i / 50 % 2 == 0 ? SCROLL_PIXELS : -SCROLL_PIXELS)));
    made.add(
        new Leg(
            "from the whole shoot to single samples and back, twice",
            1400,
            this::all,
            i -> zoom(i / 350 % 2 == 0 ? ZOOM_STEP : 1 / ZOOM_STEP)));
    made.add(new Leg("along the time, a minute seen", 600, () -> seen(60), i -> along(i < 300)));
    made.add(
        new Leg("along the time, single samples", 600, () -> seen(0.005), i -> along(i < 300)));
    made.add(new Leg("the cursor alone", 400, () -> seen(600), this::cursor));
    return made;
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
    double middle = 2.5 * WindowFrames.EVERY_SECONDS;
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
    } else {
      if (picture > 0) {
        table.picture((now - before) / 1e6);
      } else {
        table.begin(current.pictures());
      }
      if (picture == current.pictures()) {
        end(current);
        return;
      }
      current.step().accept(picture);
    }
    before = now;
    picture++;
  }

  private void end(Leg current) {
    if (!current.name().isEmpty()) {
      table.row(current.name());
    }
    leg++;
    picture = -1;
    if (leg == legs.size()) {
      stop();
      String whole = table.text();
      stage.close();
      result.complete(whole);
    }
  }
}
