package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Times;
import hardpan.desk.model.Tone;
import hardpan.report.Standing;
import hardpan.shoot.WaveLevels;
import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleConsumer;
import java.util.function.Supplier;
import javafx.scene.Node;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import javafx.scene.shape.SVGPath;
import org.jspecify.annotations.Nullable;

/** Beside the clock: what has no place on it, or more than one, each with the reason. */
public final class TrayView {
  private static final double WIDTH = 268;
  private static final int WAVE_WIDTH = 228;
  private static final int WAVE_HEIGHT = 26;

  private final DeskModel model;
  private final Supplier<Palette> palette;
  private final DoubleConsumer show;
  private final Acts acts;
  private final VBox entries = new VBox();
  private final List<Runnable> waves = new ArrayList<>();
  private final VBox root;

  /** What can be done about a source that has no place. */
  public interface Acts {
    /** Shows where it can be placed by hand. */
    void placeByHand(SourceRow row);

    /** Leaves it out of the line-up. */
    void leaveOut(SourceRow row);
  }

  /**
   * For a window.
   *
   * @param show puts the cursor on a moment and shows it
   * @param acts does what can be done about what has no place
   */
  TrayView(DeskModel model, Supplier<Palette> palette, DoubleConsumer show, Acts acts) {
    this.model = model;
    this.palette = palette;
    this.show = show;
    this.acts = acts;
    Label title = new Label(Texts.of("clock.tray"));
    title.getStyleClass().add("hp-title");
    entries.getStyleClass().add("hp-clock-tray");
    ScrollPane scroll = new ScrollPane(entries);
    scroll.setFitToWidth(true);
    scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
    scroll.setFocusTraversable(false);
    scroll.setAccessibleText(Texts.of("clock.tray.spoken"));
    title.setLabelFor(scroll);
    VBox.setVgrow(scroll, Priority.ALWAYS);
    root = new VBox(4, title, scroll);
    root.setMinWidth(WIDTH);
    root.setPrefWidth(WIDTH);
    root.setMaxWidth(WIDTH);
    root.setId("clock-tray");
  }

  Region root() {
    return root;
  }

  void fill(@Nullable ShownShoot shown) {
    List<ClockItem> tray = shown == null ? List.of() : shown.clock().tray();
    waves.clear();
    entries.getChildren().setAll(tray.stream().map(this::entry).toList());
    root.setVisible(!tray.isEmpty());
    root.setManaged(!tray.isEmpty());
    recolour();
  }

  /** Draws the waves anew, in the colours of now. */
  void recolour() {
    waves.forEach(Runnable::run);
  }

  private Node entry(ClockItem item) {
    Mark mark = item.row().mark();
    SVGPath shape = new SVGPath();
    shape.setContent(mark.path());
    String tone = mark.tone().variable().substring("-hp-".length());
    shape.getStyleClass().add("hp-tone-" + tone);
    Button name = new Button(item.row().number() + "  " + item.row().fileName(), shape);
    name.setAccessibleText(
        Texts.of(
            "clock.tray.choose.spoken", item.row().number(), item.row().fileName(), item.reason()));
    name.setOnAction(event -> model.chosenProperty().set(item.row()));
    name.setMnemonicParsing(false);
    name.setMaxWidth(Double.MAX_VALUE);
    Label reason = new Label(item.reason());
    reason.setWrapText(true);
    reason.setMinHeight(Region.USE_PREF_SIZE);
    VBox entry = new VBox(name, reason);
    entry.getStyleClass().add("hp-clock-tray-entry");
    if (item.row().standing() == Standing.UNPLACED && item.row().findingMark() != null) {
      SVGPath warning = new SVGPath();
      warning.setContent(Mark.WARNING.path());
      warning.getStyleClass().add("hp-tone-warning");
      reason.setGraphic(warning);
      entry.getChildren().add(doing(item.row()));
    }
    if (!item.placesSeconds().isEmpty()) {
      entry.getChildren().add(places(item));
    }
    WaveLevels levels = item.waves();
    if (levels != null && levels.columnCount() > 0) {
      Canvas canvas = new Canvas(WAVE_WIDTH, WAVE_HEIGHT);
      waves.add(() -> draw(canvas, levels));
      entry.getChildren().add(1, canvas);
    }
    return entry;
  }

  private Node doing(SourceRow row) {
    Button place = new Button(Texts.of("clock.tray.by-hand"));
    place.setAccessibleText(Texts.of("clock.tray.by-hand.spoken", row.fileName()));
    place.setId("tray-by-hand");
    place.setOnAction(event -> acts.placeByHand(row));
    Button leave = new Button(Texts.of("clock.tray.leave-out"));
    leave.setAccessibleText(Texts.of("clock.tray.leave-out.spoken", row.fileName()));
    leave.setId("tray-leave-out");
    leave.setOnAction(event -> acts.leaveOut(row));
    return new FlowPane(6, 4, place, leave);
  }

  private Node places(ClockItem item) {
    FlowPane places = new FlowPane(6, 4, new Label(Texts.of("clock.tray.places")));
    for (double seconds : item.placesSeconds()) {
      String words = Times.clock(seconds, 1);
      Button place = new Button(words);
      place.setAccessibleText(Texts.of("clock.tray.place.spoken", words, item.row().fileName()));
      place.setOnAction(event -> show.accept(seconds));
      places.getChildren().add(place);
    }
    return places;
  }

  /** The whole source in the room there is, its channels as one. */
  private void draw(Canvas canvas, WaveLevels levels) {
    GraphicsContext gc = canvas.getGraphicsContext2D();
    gc.clearRect(0, 0, WAVE_WIDTH, WAVE_HEIGHT);
    gc.setFill(palette.get().colour(Tone.WAVE_ASTRAY));
    float[] low = new float[WAVE_WIDTH];
    float[] high = new float[WAVE_WIDTH];
    double perPixel = (double) levels.columnCount() * levels.framesInColumn() / WAVE_WIDTH;
    double middle = WAVE_HEIGHT / 2.0;
    for (int channel = 0; channel < levels.channelCount(); channel++) {
      levels.extremes(channel, 0, perPixel, WAVE_WIDTH, low, high);
      for (int x = 0; x < WAVE_WIDTH; x++) {
        if (!Float.isNaN(low[x])) {
          double top = Math.rint(middle - (middle - 1) * WavePainter.height(high[x]));
          double bottom = Math.rint(middle - (middle - 1) * WavePainter.height(low[x]));
          gc.fillRect(x, top, 1, Math.max(1, bottom - top));
        }
      }
    }
  }
}
