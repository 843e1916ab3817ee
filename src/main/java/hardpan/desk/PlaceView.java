package hardpan.desk;

import hardpan.desk.model.Cursor;
import hardpan.desk.model.Hearing;
import hardpan.desk.model.Listen;
import hardpan.desk.model.Mark;
import hardpan.desk.model.PlaceByHand;
import hardpan.desk.model.PlaceByHand.Step;
import hardpan.desk.model.PlaceShown;
import hardpan.desk.model.Texts;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import javafx.beans.binding.Bindings;
import javafx.event.ActionEvent;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import javafx.util.StringConverter;
import org.jspecify.annotations.Nullable;

/**
 * The place of the chosen source and what the person can do about it. In the field of its start, Up
 * is a step later and Down a step earlier.
 */
final class PlaceView {
  private final PlaceByHand place;
  private final Label whyNot = words("hp-plain", "place-why-not");
  private final Label offset = words("hp-strong", "place-offset");
  private final Label change = words("hp-plain", "place-change");
  private final Label rate = words("hp-soft", "place-rate");
  private final Label keys = words("hp-soft", "place-keys");
  private final Label run = words("hp-soft", "place-run");
  private final VBox candidates = new VBox(6);
  private List<PlaceShown.Candidate> offered = List.of();
  private final TextField typed = new TextField();
  private final ComboBox<Step> step = new ComboBox<>();
  private final Label misread = words("hp-plain", "place-misread");
  private final Button atCursor = button("place-at-cursor", "place.at-cursor");
  private final Button pin = button("place-pin", "place.pin");
  private final Button unpin = button("place-unpin", "place.unpin");
  private final Button refuse = button("place-refuse", "place.refuse");
  private final Button leaveOut = button("place-leave-out", "place.leave-out");
  private final Button takeIn = button("place-take-in", "place.take-in");
  private final List<Button> nudges = new ArrayList<>();
  private final Button hearNow = button("place-hear-now", "place.hear-now");
  private final Button hearFound = button("place-hear-found", "place.hear-found");
  private final Label headWords = words("hp-strong", "place-head");
  private final FlowPane head;
  private final VBox able;
  private final VBox root;

  PlaceView(PlaceByHand place, Listen listen, Cursor cursor) {
    this.place = place;
    atCursor.setOnAction(event -> place.takeCursor());
    atCursor
        .disableProperty()
        .bind(
            Bindings.createBooleanBinding(
                () -> !Double.isFinite(cursor.secondsProperty().get()), cursor.secondsProperty()));
    pin.setOnAction(event -> place.pinHere());
    unpin.setOnAction(event -> place.unpin());
    refuse.setOnAction(event -> place.refuse());
    leaveOut.setOnAction(event -> place.leaveOut());
    takeIn.setOnAction(event -> place.takeIn());
    hearNow.setOnAction(event -> hear(listen, false));
    hearFound.setOnAction(event -> hear(listen, true));
    headWords.setMinWidth(Region.USE_PREF_SIZE);
    head = new FlowPane(10, 6, headWords, hearNow, hearFound);
    head.setAlignment(Pos.CENTER_LEFT);
    FlowPane decide = new FlowPane(8, 8, pin, unpin, refuse, leaveOut, takeIn);
    able =
        new VBox(
            8,
            new VBox(2, offset, change, rate, run),
            candidates,
            heading("place.move"),
            typing(),
            misread,
            keys,
            nudges(),
            heading("place.decide"),
            decide);
    root = new VBox(8, whyNot, able);
    root.getStyleClass().add("hp-details");
    root.setId("place");
    keys.setText(Texts.of("place.keys"));
    place.shownProperty().addListener((property, before, now) -> show(now));
    show(place.shownProperty().get());
  }

  private static Label words(String style, String id) {
    Label label = new Label();
    label.setId(id);
    label.setWrapText(true);
    label.setMinWidth(0);
    label.getStyleClass().add(style);
    return label;
  }

  private static Label heading(String key) {
    Label label = new Label(Texts.of(key));
    label.getStyleClass().add("hp-heading");
    return label;
  }

  /** A button with its words and what is said of it; never narrower than its words. */
  static Button button(String id, String key) {
    Button button = new Button(Texts.of(key));
    button.setId(id);
    button.setAccessibleText(Texts.of(key + ".spoken"));
    button.setMinWidth(Region.USE_PREF_SIZE);
    return button;
  }

  private Node nudges() {
    FlowPane flow = new FlowPane(8, 8);
    for (Step by : Step.values()) {
      HBox pair = new HBox(4);
      for (int direction : new int[] {-1, 1}) {
        String name = by.name().toLowerCase(Locale.ROOT);
        String key = "place.nudge." + name + (direction < 0 ? ".earlier" : ".later");
        Button nudge = button("nudge-" + name + (direction < 0 ? "-earlier" : "-later"), key);
        nudge.setOnAction(event -> place.nudge(by, direction));
        nudges.add(nudge);
        pair.getChildren().add(nudge);
      }
      flow.getChildren().add(pair);
    }
    return flow;
  }

  /** For where the sound says nothing: a place as it is typed, or the one pointed at. */
  private Node typing() {
    Label label = new Label(Texts.of("place.typed"));
    label.setMnemonicParsing(true);
    label.setLabelFor(typed);
    typed.setId("place-typed");
    typed.setAccessibleText(Texts.of("place.typed.spoken"));
    typed.setPromptText(Texts.of("place.typed.prompt"));
    typed.setPrefColumnCount(9);
    typed.setOnAction(
        event -> {
          boolean understood = place.takeTyped(typed.getText());
          present(misread, !understood);
          if (understood) {
            typed.clear();
          }
        });
    misread.setText(Texts.of("place.misread"));
    present(misread, false);
    Button put = button("place-put", "place.put");
    put.setOnAction(event -> typed.fireEvent(new ActionEvent()));
    // Before the field takes them for the start and the end of its text.
    typed.addEventFilter(KeyEvent.KEY_PRESSED, this::stepped);
    FlowPane line = new FlowPane(8, 8, label, typed, steps(), put, atCursor);
    line.setAlignment(Pos.CENTER_LEFT);
    return line;
  }

  /** How far Up and Down go. */
  private Node steps() {
    Label label = new Label(Texts.of("place.step"));
    label.setMinWidth(Region.USE_PREF_SIZE);
    label.setLabelFor(step);
    step.setId("place-step");
    step.setAccessibleText(Texts.of("place.step.spoken"));
    step.setConverter(
        new StringConverter<>() {
          @Override
          public String toString(@Nullable Step one) {
            return one == null ? "" : Texts.of("place.step." + one.name().toLowerCase(Locale.ROOT));
          }

          @Override
          public @Nullable Step fromString(String words) {
            return null;
          }
        });
    step.getItems().setAll(Step.values());
    step.setValue(Step.PICTURE);
    HBox line = new HBox(4, label, step);
    line.setAlignment(Pos.CENTER_LEFT);
    return line;
  }

  private void stepped(KeyEvent event) {
    int direction =
        switch (event.getCode()) {
          case UP, KP_UP -> 1;
          case DOWN, KP_DOWN -> -1;
          default -> 0;
        };
    if (direction != 0) {
      place.nudge(step.getValue(), direction);
      event.consume();
    }
  }

  private static void hear(Listen listen, boolean asFound) {
    listen.asFoundProperty().set(asFound);
    listen.start(Hearing.Kind.ACROSS);
  }

  private void show(PlaceShown now) {
    present(whyNot, !now.isPossible());
    whyNot.setText(now.whyNot());
    present(able, now.isPossible());
    present(head, now.isPossible());
    headWords.setText(now.headWords());
    offset.setText(now.offsetWords());
    change.setText(now.changeWords());
    present(change, !now.changeWords().isEmpty());
    rate.setText(now.rateWords());
    run.setText(now.runWords());
    present(run, !now.runWords().isEmpty());
    if (!now.candidates().equals(offered)) {
      offered = now.candidates();
      offer(candidates(now));
    }
    present(candidates, !now.candidates().isEmpty());
    boolean has = now.offsetSeconds() != null;
    keepFocus(
        () -> {
          nudges.forEach(nudge -> nudge.setDisable(!has));
          hearNow.setDisable(!has);
          hearFound.setDisable(!now.isMoved());
          present(pin, has && !now.isPinned());
          present(unpin, now.isPinned());
          present(refuse, has && !now.isPinned());
          present(leaveOut, !now.isLeftOut());
          present(takeIn, now.isLeftOut());
        });
  }

  /** A button that goes away hands the keyboard to the one that comes. */
  private void keepFocus(Runnable changes) {
    List<Button> deciding = List.of(unpin, pin, takeIn, leaveOut, refuse);
    boolean inside = deciding.stream().anyMatch(Node::isFocused);
    changes.run();
    if (inside && deciding.stream().noneMatch(one -> one.isFocused() && one.isVisible())) {
      deciding.stream().filter(Node::isVisible).findFirst().ifPresent(Node::requestFocus);
    }
  }

  /** The keyboard stays in the list: on the same line, or the next that can be taken. */
  private void offer(List<Node> nodes) {
    List<Node> before = List.copyOf(candidates.getChildren());
    int at = -1;
    for (int i = 0; i < before.size(); i++) {
      if (before.get(i) instanceof HBox line && line.getChildren().get(0).isFocused()) {
        at = i;
      }
    }
    candidates.getChildren().setAll(nodes);
    if (at < 0) {
      return;
    }
    for (int i = 0; i < nodes.size(); i++) {
      Node one = nodes.get((at + i) % nodes.size());
      if (one instanceof HBox line && !line.getChildren().get(0).isDisabled()) {
        line.getChildren().get(0).requestFocus();
        return;
      }
    }
    typed.requestFocus();
  }

  private List<Node> candidates(PlaceShown now) {
    List<Node> nodes = new ArrayList<>();
    if (!now.candidates().isEmpty()) {
      nodes.add(heading("place.candidates"));
    }
    for (PlaceShown.Candidate candidate : now.candidates()) {
      Label words = new Label(candidate.words());
      words.setGraphic(Marks.node(candidate.isHere() ? Mark.PLACED : Mark.UNPLACED));
      Button take = new Button(Texts.of(candidate.isHere() ? "place.here" : "place.take"));
      take.setAccessibleText(Texts.of("place.take.spoken", candidate.words()));
      take.setId("place-take-" + nodes.size());
      take.setDisable(candidate.isHere());
      take.setOnAction(event -> place.take(candidate.offsetSeconds()));
      take.setMinWidth(Region.USE_PREF_SIZE);
      HBox line = new HBox(take, words);
      line.getStyleClass().add("hp-line");
      nodes.add(line);
    }
    return nodes;
  }

  private static void present(Node node, boolean present) {
    node.setVisible(present);
    node.setManaged(present);
  }

  /** Where it is and how it sounds there: what stays in sight while the rest scrolls. */
  Region head() {
    return head;
  }

  Node root() {
    return root;
  }
}
