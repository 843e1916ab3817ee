package hardpan.desk;

import hardpan.desk.model.Hearing;
import hardpan.desk.model.Listen;
import hardpan.desk.model.PlaceByHand;
import hardpan.desk.model.PlaceShown;
import hardpan.desk.model.Texts;
import hardpan.listen.PlayerState;
import hardpan.listen.SafeLevel;
import java.util.List;
import javafx.animation.AnimationTimer;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.Slider;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;

/** Listening to the chosen source: what of it, start and stop, how loud, and a word on hearing. */
final class ListenBar {
  private static final double VOLUME_WIDTH = 110;

  private final Listen listen;
  private final PlaceByHand place;
  private final ComboBox<Hearing> ways = new ComboBox<>();
  private final Button go = new Button();
  private final CheckBox asFound = new CheckBox(Texts.of("listen.as-found"));
  private final Label words = new Label();
  private final VBox root;
  private boolean filling;
  private final AnimationTimer pulse =
      new AnimationTimer() {
        @Override
        public void handle(long nanos) {
          listen.pulse();
          words.setText(listen.words());
        }
      };

  ListenBar(Listen listen, PlaceByHand place) {
    this.listen = listen;
    this.place = place;
    ways.setId("listen-way");
    ways.setAccessibleText(Texts.of("listen.way.spoken"));
    ways.setMaxWidth(Double.MAX_VALUE);
    ways.setMinWidth(90);
    HBox.setHgrow(ways, Priority.ALWAYS);
    ways.valueProperty()
        .addListener(
            (property, before, now) -> {
              if (!filling && now != null) {
                listen.wayProperty().set(now);
              }
            });
    go.setId("listen");
    go.getStyleClass().add("hp-main");
    go.setMinWidth(Region.USE_PREF_SIZE);
    go.setOnAction(event -> listen.toggle());
    asFound.setId("listen-as-found");
    asFound.setAccessibleText(Texts.of("listen.as-found.spoken"));
    asFound.selectedProperty().bindBidirectional(listen.asFoundProperty());
    asFound.setMinWidth(Region.USE_PREF_SIZE);
    words.setId("listen-words");
    words.setWrapText(true);
    words.setMinWidth(0);
    Label hearing = new Label(Texts.of("listen.hearing"));
    hearing.setId("listen-hearing");
    hearing.setWrapText(true);
    hearing.setMinHeight(Region.USE_PREF_SIZE);
    hearing.setTooltip(new Tooltip(Texts.of("listen.hearing.numbers")));
    hearing.setAccessibleHelp(Texts.of("listen.hearing.numbers"));
    HBox first = new HBox(go, ways, asFound, volume());
    first.getStyleClass().add("hp-line");
    root = new VBox(first, words, hearing);
    root.getStyleClass().add("hp-listen");
    listen.waysProperty().addListener((property, before, now) -> fill());
    listen.wayProperty().addListener((property, before, now) -> follow());
    listen.stateProperty().addListener((property, before, now) -> show());
    place.shownProperty().addListener((property, before, now) -> show());
    fill();
    show();
  }

  private Node volume() {
    Slider slider = new Slider(SafeLevel.LEAST_VOLUME_DB, SafeLevel.MOST_VOLUME_DB, 0);
    slider.setId("listen-volume");
    slider.setPrefWidth(VOLUME_WIDTH);
    slider.setBlockIncrement(2);
    // From the least volume on, the next mark is the normal one.
    slider.setMajorTickUnit(-SafeLevel.LEAST_VOLUME_DB);
    slider.setMinorTickCount(0);
    slider.setShowTickMarks(true);
    slider.valueProperty().bindBidirectional(listen.volumeDbProperty());
    Label label = new Label(Texts.of("listen.volume"));
    label.setLabelFor(slider);
    label.setMinWidth(Region.USE_PREF_SIZE);
    Label figure = new Label();
    figure.getStyleClass().add("hp-soft");
    figure.setMinWidth(54);
    slider
        .valueProperty()
        .addListener((property, before, now) -> tell(slider, figure, now.doubleValue()));
    tell(slider, figure, slider.getValue());
    HBox line = new HBox(label, slider, figure);
    line.setMinWidth(Region.USE_PREF_SIZE);
    line.getStyleClass().add("hp-line");
    return line;
  }

  private static void tell(Slider slider, Label figure, double db) {
    String words = Listen.volumeWords(db);
    figure.setText(words);
    slider.setAccessibleText(Texts.of("listen.volume.spoken", words));
  }

  private void fill() {
    filling = true;
    List<Hearing> now = listen.waysProperty().get();
    ways.getItems().setAll(now);
    filling = false;
    follow();
    boolean any = !now.isEmpty();
    root.setVisible(any);
    root.setManaged(any);
  }

  private void follow() {
    filling = true;
    ways.setValue(listen.wayProperty().get());
    filling = false;
    show();
  }

  private void show() {
    boolean on = listen.isOn();
    go.setText(Texts.of(on ? "listen.stop" : "listen.go"));
    go.setAccessibleText(Texts.of(on ? "listen.stop.spoken" : "listen.go.spoken"));
    Hearing way = listen.wayProperty().get();
    PlaceShown shown = place.shownProperty().get();
    boolean compares = way != null && way.kind().withReference() && shown.isMoved();
    asFound.setVisible(compares);
    asFound.setManaged(compares);
    words.setText(listen.words());
    if (listen.stateProperty().get().kind() == PlayerState.Kind.PLAYING) {
      pulse.start();
    } else {
      pulse.stop();
    }
  }

  /** The instant that is pointed at has changed. */
  void cursorMoved() {
    words.setText(listen.words());
  }

  Node root() {
    return root;
  }
}
