package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Texts;
import javafx.css.PseudoClass;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;

/** What the window shows before there is a shoot. */
final class EmptyView {
  private static final PseudoClass DROPPING = PseudoClass.getPseudoClass("dropping");

  private final StackPane root;
  private final VBox field;
  private final Label hint = new Label(Texts.of("empty.hint"));
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
    field = new VBox(hint, choose, more);
    field.getStyleClass().add("hp-drop");
    root = new StackPane(field);
    root.getStyleClass().add("hp-empty");
    model.workingProperty().addListener((property, before, now) -> words(false));
    choose.defaultButtonProperty().bind(root.visibleProperty());
  }

  private void words(boolean dropping) {
    boolean working = model.workingProperty().get();
    hint.setText(Texts.of(working ? "empty.working" : dropping ? "empty.dropping" : "empty.hint"));
    choose.setVisible(!working);
    choose.setManaged(!working);
    more.setVisible(!working);
    more.setManaged(!working);
    if (!working && root.isVisible()) {
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
