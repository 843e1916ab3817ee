package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockLayout.Way;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Tone;
import java.util.Optional;
import java.util.function.Function;
import javafx.beans.value.ObservableValue;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import javafx.scene.paint.Color;
import org.jspecify.annotations.Nullable;

/**
 * The picture of the shoot with what belongs to it: buttons above, the words of the cursor below,
 * the tray beside it.
 */
public final class ClockView {
  static final double STEP_CLOSER = 1.6;

  /** A start is shown with so much of the picture before it. */
  private static final double CURSOR_EDGE = 0.08;

  private final DeskModel model;
  private final ClockField field;
  private final TrayView tray;
  private final Label words = new Label();

  /** What the two lines of figures are; only where there are two. */
  private final Label figures = new Label(Texts.of("clock.day"));

  private final Button fitChosen;
  private final Button flagBefore;
  private final Button flagNext;
  private final HBox root;
  private @Nullable SourceRow pointed;

  /**
   * For a window.
   *
   * @param colours the window's colours as they are now
   * @param theme changes whenever they do
   * @param acts does what can be done about a source that has no place
   */
  public ClockView(
      DeskModel model,
      Function<Tone, Color> colours,
      ObservableValue<Boolean> theme,
      TrayView.Acts acts) {
    this.model = model;
    field = new ClockField(model, colours, this::tell);
    ClockKeys keys = new ClockKeys(this, model, field);
    field.setOnKeyPressed(keys::pressed);
    ClockHands hands = new ClockHands(this, model, field);
    hands.listen();
    tray = new TrayView(model, field::palette, this::showMoment, acts);
    Label title = new Label(Texts.of("clock.title"));
    title.getStyleClass().add("hp-title");
    title.setLabelFor(field);
    title.setMinWidth(Region.USE_PREF_SIZE);
    figures.setId("clock-figures");
    figures.getStyleClass().add("hp-soft");
    figures.setMinWidth(0);
    figures.setTooltip(new Tooltip(Texts.of("clock.day")));
    Region gap = new Region();
    HBox.setHgrow(gap, Priority.ALWAYS);
    fitChosen = button("clock.fit", this::fitChosen);
    flagBefore = button("clock.flag-before", () -> toFlag(false));
    flagNext = button("clock.flag-next", () -> toFlag(true));
    HBox tools =
        new HBox(
            title,
            figures,
            gap,
            flagBefore,
            flagNext,
            button("clock.all", this::fitAll),
            fitChosen,
            button("clock.farther", () -> zoom(1 / STEP_CLOSER)),
            button("clock.closer", () -> zoom(STEP_CLOSER)));
    tools.getStyleClass().add("hp-clock-tools");
    words.setId("clock-words");
    words.getStyleClass().add("hp-soft");
    words.setMinWidth(0);
    Tooltip help = new Tooltip(Texts.of("clock.keys"));
    help.setWrapText(true);
    help.setMaxWidth(520);
    words.setTooltip(help);
    VBox.setVgrow(field, Priority.ALWAYS);
    VBox clock = new VBox(4, tools, field, words);
    clock.setMinWidth(0);
    HBox.setHgrow(clock, Priority.ALWAYS);
    root = new HBox(clock, tray.root());
    root.getStyleClass().addAll("hp-pane", "hp-clock-room");
    model.shootProperty().addListener((property, before, now) -> renew(now));
    model.chosenProperty().addListener((property, before, now) -> chosen(now));
    model
        .cursor()
        .secondsProperty()
        .addListener(
            (property, before, now) -> {
              field.moveCursors();
              ableFlags();
            });
    model
        .cursor()
        .heardSecondsProperty()
        .addListener((property, before, now) -> field.moveCursors());
    theme.addListener(
        (property, before, now) -> {
          field.recolour();
          tray.recolour();
        });
    renew(model.shootProperty().get());
  }

  private static Button button(String key, Runnable action) {
    Button button = new Button(Texts.of(key));
    button.setAccessibleText(Texts.of(key + ".spoken"));
    button.setTooltip(new Tooltip(Texts.of(key + ".spoken")));
    button.setOnAction(event -> action.run());
    button.setMinWidth(Region.USE_PREF_SIZE);
    button.setId(key.replace('.', '-'));
    return button;
  }

  /** The whole of it. */
  public Node root() {
    return root;
  }

  /** The picture itself, for measuring how fast it is drawn. */
  public ClockField field() {
    return field;
  }

  private void renew(@Nullable ShownShoot shown) {
    pointed = null;
    field.renew(shown);
    figures.setVisible(shown != null && shown.clock().dayClock().isPresent());
    figures.setManaged(figures.isVisible());
    tray.fill(shown);
    chosen(model.chosenProperty().get());
  }

  private void chosen(@Nullable SourceRow row) {
    pointed = null;
    fitChosen.setDisable(field.model().flatMap(clock -> placed(clock, row)).isEmpty());
    field.showChosen(row, null);
    reveal(row);
    tell();
    ableFlags();
  }

  /** Where no finding is left there is none to go to. */
  private void ableFlags() {
    flagBefore.setDisable(nextFlag(false).isEmpty());
    flagNext.setDisable(nextFlag(true).isEmpty());
  }

  private Optional<ClockModel.FlagPlace> nextFlag(boolean onwards) {
    return field
        .model()
        .flatMap(
            clock ->
                clock.nextFlag(
                    model.cursor().secondsProperty().get(), model.chosenProperty().get(), onwards));
  }

  private static Optional<ClockItem> placed(ClockModel clock, @Nullable SourceRow row) {
    return clock.itemOf(row).filter(item -> item.reason().isEmpty());
  }

  /** Scrolls so that something of a source is seen. */
  private void reveal(@Nullable SourceRow row) {
    field.revealRow(row);
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock == null || scale == null) {
      return;
    }
    placed(clock, row)
        .filter(
            item ->
                item.endSeconds() <= scale.startSeconds()
                    || item.startSeconds() >= scale.endSeconds())
        .ifPresent(
            item ->
                field.show(
                    new ClockScale(
                            item.startSeconds()
                                - CURSOR_EDGE * scale.pixels() * scale.secondsPerPixel(),
                            scale.secondsPerPixel(),
                            scale.pixels())
                        .moved(0, clock)));
  }

  /** Shows the words of the cursor, and says them to those who listen. */
  private void tell() {
    String now = field.words(model.chosenProperty().get());
    words.setText(now);
    ShownShoot shown = model.shootProperty().get();
    SourceRow row = pointed;
    String spoken = shown == null ? "" : shown.clock().spoken(model.chosenProperty().get());
    field.setAccessibleText(
        row == null
            ? spoken + " " + now
            : Texts.of("clock.pointed", row.number(), row.fileName()) + " " + now);
  }

  /** Points at the source a step leads to; Enter chooses it. */
  void point(Way way) {
    ClockLayout layout = field.layoutNow();
    SourceRow from = pointed == null ? model.chosenProperty().get() : pointed;
    if (layout != null) {
      layout
          .step(from, way)
          .ifPresent(
              row -> {
                pointed = row;
                field.showChosen(model.chosenProperty().get(), row);
                reveal(row);
                tell();
              });
    }
  }

  /** Chooses what is pointed at. */
  void choosePointed() {
    if (pointed != null) {
      model.chosenProperty().set(pointed);
    }
  }

  boolean hasSomethingChosen() {
    return pointed != null || model.chosenProperty().get() != null;
  }

  /** Chooses nothing. */
  void letGo() {
    pointed = null;
    model.chosenProperty().set(null);
    field.showChosen(null, null);
    tell();
  }

  void fitAll() {
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock != null && scale != null) {
      field.show(ClockScale.fit(clock.firstSecond(), clock.lastSecond(), scale.pixels()));
    }
  }

  void fitChosen() {
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock != null && scale != null) {
      placed(clock, model.chosenProperty().get())
          .ifPresent(
              item ->
                  field.show(
                      ClockScale.fit(item.startSeconds(), item.endSeconds(), scale.pixels())));
    }
  }

  /** Closer or farther about the cursor, or about the middle where the cursor is not seen. */
  void zoom(double factor) {
    ClockScale scale = field.scale();
    if (scale != null) {
      double cursor = model.cursor().secondsProperty().get();
      zoomAt(factor, scale.shows(cursor) ? scale.x(cursor) : scale.pixels() / 2.0);
    }
  }

  /** Closer or farther; what is under a pixel stays under it. */
  void zoomAt(double factor, double x) {
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock != null && scale != null) {
      field.show(scale.zoomed(factor, x, clock));
    }
  }

  /** Along the time. */
  void move(double pixels) {
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock != null && scale != null) {
      field.show(scale.moved(pixels, clock));
    }
  }

  /** Puts the cursor on a moment and sees to it that it is seen. */
  void showMoment(double seconds) {
    ClockModel clock = field.model().orElse(null);
    ClockScale scale = field.scale();
    if (clock == null || scale == null) {
      return;
    }
    double kept = Math.max(clock.firstSecond(), Math.min(clock.lastSecond(), seconds));
    if (!scale.shows(kept)) {
      field.show(scale.centred(kept, clock));
    }
    model.cursor().secondsProperty().set(kept);
  }

  /** Puts the cursor on the next finding, or the one before, and points at its source. */
  void toFlag(boolean onwards) {
    nextFlag(onwards)
        .ifPresent(
            place -> {
              showMoment(place.seconds());
              model.chosenProperty().set(place.item().row());
            });
  }
}
