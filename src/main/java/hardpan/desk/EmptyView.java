package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Texts;
import hardpan.shoot.SavedShoots;
import java.util.List;
import javafx.css.PseudoClass;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;

/** What the window shows before there is a shoot: a place to drop one, and those of other days. */
final class EmptyView {
  private static final PseudoClass DROPPING = PseudoClass.getPseudoClass("dropping");

  private final StackPane root;
  private final VBox field;
  private final VBox earlier = new VBox();
  private final VBox shoots = new VBox();
  private final Label hint = new Label(Texts.of("empty.hint"));
  private final Label into = new Label(Texts.of("empty.into"));
  private final Label out = new Label(Texts.of("empty.out"));
  private final Label more = new Label(Texts.of("empty.more"));
  private final Button choose = new Button(Texts.of("empty.choose"));
  private final DeskModel model;

  EmptyView(DeskModel model) {
    this.model = model;
    hint.getStyleClass().add("hp-hint");
    hint.setWrapText(true);
    more.getStyleClass().add("hp-soft");
    more.setWrapText(true);
    choose.getStyleClass().add("hp-main");
    choose.setId("choose");
    choose.setAccessibleText(Texts.of("empty.choose.spoken"));
    choose.setOnAction(event -> model.chooseShoot());
    choose.disableProperty().bind(model.workingProperty());
    for (Label line : List.of(into, out)) {
      line.setWrapText(true);
      line.setMinHeight(Region.USE_PREF_SIZE);
    }
    field = new VBox(hint, into, out, choose, more);
    field.getStyleClass().add("hp-drop");
    Label title = new Label(Texts.of("recent.title"));
    title.getStyleClass().add("hp-title");
    shoots.getStyleClass().add("hp-recent-list");
    ScrollPane scroll = new ScrollPane(shoots);
    scroll.setFitToWidth(true);
    scroll.setFocusTraversable(false);
    scroll.getStyleClass().add("hp-bare");
    VBox.setVgrow(scroll, Priority.ALWAYS);
    earlier.getChildren().addAll(title, scroll);
    earlier.getStyleClass().add("hp-recent");
    VBox both = new VBox(field, earlier);
    both.getStyleClass().add("hp-start");
    VBox.setVgrow(earlier, Priority.SOMETIMES);
    root = new StackPane(both);
    root.getStyleClass().add("hp-empty");
    model.workingProperty().addListener((property, before, now) -> words(false));
    model.recentProperty().addListener((property, before, now) -> fill(now));
    fill(model.recentProperty().get());
    choose.defaultButtonProperty().bind(root.visibleProperty());
  }

  private void fill(List<SavedShoots.Recent> recent) {
    shoots.getChildren().clear();
    for (int i = 0; i < recent.size(); i++) {
      shoots.getChildren().add(line(recent.get(i), i));
    }
    words(false);
  }

  private HBox line(SavedShoots.Recent shoot, int index) {
    Label name = new Label(shoot.name());
    name.getStyleClass().add("hp-strong");
    Label when = new Label(RecentWords.when(shoot));
    when.getStyleClass().add("hp-soft");
    Label where = new Label(RecentWords.where(shoot));
    where.getStyleClass().add("hp-soft");
    VBox words = new VBox(2, new HBox(10, name, when), where);
    boolean missing = shoot.isMissing();
    if (missing) {
      Label gone = new Label(Texts.of("recent.missing"));
      gone.setGraphic(Marks.node(Mark.WARNING));
      words.getChildren().add(gone);
    }
    Button open = new Button();
    open.setGraphic(words);
    open.setId("recent-" + index);
    open.setMaxWidth(Double.MAX_VALUE);
    open.getStyleClass().add("hp-recent-shoot");
    open.setAccessibleText(
        Texts.of(missing ? "recent.spoken.missing" : "recent.spoken", RecentWords.of(shoot)));
    open.setOnAction(event -> model.open(shoot.roots()));
    HBox.setHgrow(open, Priority.ALWAYS);
    Button forget = new Button(Texts.of("recent.forget"));
    forget.setId("forget-" + index);
    forget.setMinWidth(Button.USE_PREF_SIZE);
    forget.setAccessibleText(Texts.of("recent.forget.spoken", shoot.name()));
    forget.setOnAction(
        event -> {
          model.forget(shoot);
          choose.requestFocus();
        });
    HBox line = new HBox(8, open, forget);
    line.getStyleClass().add("hp-line");
    return line;
  }

  private void words(boolean dropping) {
    boolean working = model.workingProperty().get();
    hint.setText(Texts.of(working ? "empty.working" : dropping ? "empty.dropping" : "empty.hint"));
    for (Node node : List.of(into, out, choose, more)) {
      node.setVisible(!working);
      node.setManaged(!working);
    }
    boolean list = !working && !shoots.getChildren().isEmpty();
    earlier.setVisible(list);
    earlier.setManaged(list);
    if (!working && root != null && root.isVisible()) {
      choose.requestFocus();
    }
  }

  void showDropping(boolean dropping) {
    field.pseudoClassStateChanged(DROPPING, dropping);
    words(dropping);
  }

  void focus() {
    choose.requestFocus();
  }

  Node root() {
    return root;
  }
}
