package hardpan.desk.clock;

import hardpan.desk.model.ClockColumns;
import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.CursorWords;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Tone;
import hardpan.shoot.FineWaves;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Function;
import java.util.function.LongSupplier;
import javafx.application.Platform;
import javafx.beans.value.ObservableValue;
import javafx.geometry.Orientation;
import javafx.scene.AccessibleRole;
import javafx.scene.Scene;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.control.ScrollBar;
import javafx.scene.image.ImageView;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.stage.Window;
import org.jspecify.annotations.Nullable;

/**
 * The picture in layers, none larger than what is seen of it: pixels, words over them, and on top
 * what moves, so that cursors and frames move without a wave being drawn anew. It is drawn at most
 * once for each picture the screen shows, in the screen's own pixels.
 */
public final class ClockField extends Region {
  /** The reference stays in view while it leaves so much of the picture to the rest. */
  private static final double MOST_PINNED = 0.6;

  private final DeskModel desk;
  private final Function<Tone, Color> colours;
  private final Runnable changed;
  private final ImageView pixels = new ImageView();
  private final Canvas letters = new Canvas();
  private final ClockOverlay overlay = new ClockOverlay();
  private final ScrollBar bar = new ScrollBar();
  private final ClockPainter painter = new ClockPainter();
  private final AtomicBoolean fineNews = new AtomicBoolean();
  private final ObservableValue<Number> screenDensity;

  private Palette palette;
  private ClockWords words = new ClockWords(1);
  private double density = 1;
  private @Nullable Raster raster;
  private @Nullable ShownShoot shown;
  private @Nullable FineWaves fine;
  private @Nullable ClockLayout layout;
  private @Nullable ClockScale scale;
  private @Nullable SourceRow chosen;
  private @Nullable SourceRow pointed;
  private boolean stale = true;

  /** How much of the layout, from its top, does not scroll. */
  private int pinned;

  private int laidWidth;
  private int laidHeight;
  private LongSupplier watch = System::nanoTime;
  private long lastDrawNanos;
  private long drawCount;
  private boolean complete;

  /**
   * For a window.
   *
   * @param changed called when what is seen has changed
   */
  ClockField(DeskModel desk, Function<Tone, Color> colours, Runnable changed) {
    this.desk = desk;
    this.colours = colours;
    this.changed = changed;
    this.palette = new Palette(colours);
    getStyleClass().add("hp-clock");
    setId("clock");
    setFocusTraversable(true);
    setAccessibleRole(AccessibleRole.NODE);
    setAccessibleRoleDescription(Texts.of("clock.role"));
    setMinHeight(90);
    setMinWidth(0);
    pixels.setMouseTransparent(true);
    pixels.setSmooth(false);
    letters.setMouseTransparent(true);
    bar.setOrientation(Orientation.VERTICAL);
    bar.setFocusTraversable(false);
    bar.valueProperty().addListener((property, before, now) -> redraw());
    getChildren().addAll(pixels, letters, overlay, bar);
    focusedProperty().addListener((property, before, now) -> overlay.showFocused(now));
    screenDensity =
        sceneProperty()
            .flatMap(Scene::windowProperty)
            .flatMap(Window::renderScaleXProperty)
            .orElse(1.0);
    screenDensity.addListener((property, before, now) -> redraw());
    sceneProperty()
        .flatMap(Scene::windowProperty)
        .flatMap(Window::showingProperty)
        .addListener(
            (property, before, now) -> {
              if (!Boolean.TRUE.equals(now)) {
                closeFine();
              }
            });
  }

  /** The shoot on show. */
  public Optional<ClockModel> model() {
    return Optional.ofNullable(shown).map(ShownShoot::clock);
  }

  /** Which stretch of time is seen; null before there is anything to see. */
  public @Nullable ClockScale scale() {
    return scale;
  }

  @Nullable ClockLayout layoutNow() {
    return layout;
  }

  double density() {
    return density;
  }

  Palette palette() {
    return palette;
  }

  /** Another shoot, or the same one changed: then what is seen of it stays. */
  void renew(@Nullable ShownShoot now) {
    boolean same = now != null && shown != null && now.isSameAs(shown);
    closeFine();
    shown = now;
    layout = null;
    if (!same) {
      scale = null;
      bar.setValue(0);
    }
    redraw();
  }

  private void closeFine() {
    if (fine != null) {
      fine.close();
      fine = null;
    }
  }

  /** Shows another stretch of time. */
  public void show(ClockScale wanted) {
    if (!wanted.equals(scale)) {
      scale = wanted;
      redraw();
    }
  }

  /** Up or down, in pixels of the window. */
  public void scrollBy(double by) {
    if (bar.isVisible()) {
      bar.setValue(Math.max(0, Math.min(bar.getMax(), bar.getValue() + by)));
    }
  }

  private int scroll() {
    return bar.isVisible() ? (int) Math.round(bar.getValue() * density) : 0;
  }

  private int headHeight() {
    return shown == null ? 0 : ClockFrame.headHeight(shown.clock(), density);
  }

  boolean isInStrip(double y) {
    ClockFrame frame = frame();
    return frame != null && y * density < frame.stripHeight();
  }

  /** Where a height of the window is in the layout; before its start for what does not scroll. */
  double layoutY(double y) {
    double below = y * density - headHeight();
    return below < 0 ? -1 : below < pinned ? below : below + scroll();
  }

  /** How much of what scrolls is seen at once, in pixels of the window. */
  double scrollRoom() {
    return Math.max(0, getHeight() - (headHeight() + pinned) / density);
  }

  /** Scrolls up or down so that a source is seen. */
  void revealRow(@Nullable SourceRow row) {
    ClockLayout now = layout;
    if (now != null && bar.isVisible()) {
      now.boxOf(row)
          .filter(box -> box.y() >= pinned)
          .ifPresent(
              box -> {
                double room = getHeight() - headHeight() / density;
                double top = (box.labelY() - pinned) / density - 6;
                double bottom = (box.y() + box.height()) / density + 6 - room;
                double to = Math.min(top, Math.max(bottom, bar.getValue()));
                bar.setValue(Math.max(0, Math.min(bar.getMax(), to)));
              });
    }
  }

  void showChosen(@Nullable SourceRow chosenRow, @Nullable SourceRow pointedRow) {
    chosen = chosenRow;
    pointed = pointedRow;
    frames();
  }

  void recolour() {
    palette = new Palette(colours);
    redraw();
  }

  /** The next picture of the screen shows it as it is now. */
  void redraw() {
    stale = true;
    requestLayout();
  }

  private @Nullable ClockFrame frame() {
    if (shown == null || layout == null || scale == null) {
      return null;
    }
    FineWaves waves = fine;
    if (waves == null) {
      waves = shown.fineWaves(this::fineCame);
      fine = waves;
    }
    return new ClockFrame(shown.clock(), layout, scale, scroll(), pinned, density, waves);
  }

  /** On the reading thread; however many tiles come, one picture shows them. */
  private void fineCame() {
    if (!fineNews.getAndSet(true)) {
      Platform.runLater(
          () -> {
            fineNews.set(false);
            redraw();
          });
    }
  }

  @Override
  protected void layoutChildren() {
    int wide = (int) Math.floor(getWidth());
    int high = (int) Math.floor(getHeight());
    if (shown == null || wide < 1 || high < 1) {
      return;
    }
    double now = screenDensity.getValue().doubleValue();
    boolean sized = wide != laidWidth || high != laidHeight || now != density || layout == null;
    if (sized || stale) {
      laidWidth = wide;
      laidHeight = high;
      arrange(shown.clock(), wide, high, now);
      draw();
    }
  }

  private void arrange(ClockModel clock, int wide, int high, double nowDensity) {
    if (nowDensity != density) {
      words = new ClockWords(nowDensity);
      layout = null;
      density = nowDensity;
    }
    ClockLayout laid = layout;
    if (laid == null) {
      laid = new ClockLayout(clock, density);
      layout = laid;
    }
    ClockScale was = scale;
    int barWidth = (int) Math.ceil(bar.prefWidth(-1));
    double room = high - ClockFrame.headHeight(clock, density) / density;
    double content = laid.height() / density;
    boolean scrolls = content > room;
    bar.setVisible(scrolls);
    boolean fits = laid.referenceHeight() <= MOST_PINNED * room * density;
    pinned = scrolls && fits ? laid.referenceHeight() : 0;
    if (scrolls) {
      bar.setMax(content - room);
      bar.setVisibleAmount(bar.getMax() * room / content);
      bar.setBlockIncrement(room - pinned / density);
      bar.setUnitIncrement(40);
      if (bar.getValue() > bar.getMax()) {
        bar.setValue(bar.getMax());
      }
      bar.resizeRelocate(wide - barWidth, 0, barWidth, high);
    }
    int across = Math.max(1, (int) Math.round((scrolls ? wide - barWidth : wide) * density));
    int down = Math.max(1, (int) Math.round(high * density));
    if (was == null) {
      scale = ClockScale.fit(clock.firstSecond(), clock.lastSecond(), across);
    } else if (was.pixels() != across) {
      scale = was.sized(across, clock);
    }
    if (raster == null || raster.width() != across || raster.height() != down) {
      Raster made = new Raster(across, down);
      raster = made;
      pixels.setImage(made.image());
      pixels.setFitWidth(across / density);
      pixels.setFitHeight(down / density);
      letters.setWidth(across / density);
      letters.setHeight(down / density);
      overlay.size(across / density, down / density);
    }
  }

  private void draw() {
    ClockFrame frame = frame();
    Raster target = raster;
    if (frame == null || target == null) {
      return;
    }
    long start = watch.getAsLong();
    stale = false;
    // Asked before drawing: what comes while it is drawn may not be in it.
    complete = frame.fine().want(CloseSound.wants(frame, target.height(), chosen));
    List<ClockColumns.Column> columns =
        ClockColumns.of(
            frame.scale(),
            frame.px(ClockPainter.COLUMN_WIDTH),
            frame.model().dayClock().orElse(null));
    painter.paint(target, palette, frame, columns);
    target.show();
    GraphicsContext gc = letters.getGraphicsContext2D();
    gc.clearRect(0, 0, letters.getWidth(), letters.getHeight());
    gc.save();
    gc.scale(1 / density, 1 / density);
    words.paint(gc, palette, frame, target.height(), columns);
    gc.restore();
    frames();
    moveCursors();
    lastDrawNanos = watch.getAsLong() - start;
    drawCount++;
  }

  /** Measures drawing by another watch, in nanoseconds. */
  public void timeBy(LongSupplier nanos) {
    watch = nanos;
  }

  /** How long the latest drawing took, in nanoseconds. */
  public long lastDrawNanos() {
    return lastDrawNanos;
  }

  /** Whether all that is seen was drawn as finely as it can be. */
  public boolean isComplete() {
    return complete && !stale;
  }

  /** How often it was drawn. */
  public long drawCount() {
    return drawCount;
  }

  private void frames() {
    ClockFrame frame = frame();
    if (frame != null) {
      overlay.frames(frame, box(frame, chosen), box(frame, pointed));
    }
  }

  private static ClockLayout.@Nullable Box box(ClockFrame frame, @Nullable SourceRow row) {
    return frame.layout().boxOf(row).orElse(null);
  }

  /** Moves the cursors, nothing else. */
  void moveCursors() {
    ClockFrame frame = frame();
    if (frame != null) {
      overlay.cursors(
          frame, desk.cursor().secondsProperty().get(), desk.cursor().heardSecondsProperty().get());
    }
    changed.run();
  }

  /** What there is at the cursor. */
  String words(@Nullable SourceRow row) {
    ClockFrame frame = frame();
    if (frame == null) {
      return "";
    }
    ClockItem item = frame.model().itemOf(row).orElse(null);
    double seconds = desk.cursor().secondsProperty().get();
    float[] peaks =
        item == null || Double.isNaN(seconds)
            ? new float[0]
            : CloseSound.peaks(frame, item, seconds);
    return CursorWords.of(
        seconds,
        desk.cursor().heardSecondsProperty().get(),
        frame.scale().secondsPerPixel(),
        frame.model().dayClock().orElse(null),
        item,
        peaks);
  }
}
