package hardpan.desk;

import hardpan.desk.model.LevelSums;
import hardpan.desk.model.Texts;
import hardpan.report.Sentences;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleButton;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** Which pad to take, over everything else while it is wanted. */
final class PadView {
  private final StackPane root;
  private final Label result = new Label();
  private final TextField source = field("pad-source", "pad.source");
  private final TextField input = field("pad-input", "pad.input");
  private final TextField excess = field("pad-excess", "pad.excess");
  private @Nullable Node before;

  PadView() {
    Label title = new Label(Texts.of("pad.title"));
    title.getStyleClass().add("hp-name");
    GridPane grid = new GridPane();
    grid.getStyleClass().add("hp-keys-grid");
    row(grid, 0, "pad.source", source);
    row(grid, 1, "pad.input", input);
    row(grid, 2, "pad.excess", excess);
    for (TextField field : new TextField[] {source, input, excess}) {
      field.textProperty().addListener((property, was, now) -> sums());
    }
    source.setPromptText(Texts.of("pad.source.prompt"));
    result.setId("pad-result");
    result.setWrapText(true);
    result.setMinHeight(Region.USE_PREF_SIZE);
    result.getStyleClass().add("hp-strong");
    Label cautions = new Label(String.join("\n", Sentences.usualCautions()));
    cautions.setWrapText(true);
    cautions.getStyleClass().add("hp-soft");
    cautions.setId("pad-cautions");
    ToggleButton ask = new ToggleButton(Texts.of("pad.cautions"));
    ask.setId("pad-cautions-ask");
    ask.getStyleClass().add("hp-ask");
    ask.setAccessibleText(Texts.of("pad.cautions.spoken"));
    cautions.visibleProperty().bind(ask.selectedProperty());
    cautions.managedProperty().bind(ask.selectedProperty());
    Button done = new Button(Texts.of("keys.close"));
    done.setId("pad-close");
    done.setAccessibleText(Texts.of("pad.close.spoken"));
    done.setOnAction(event -> show(false));
    VBox card = new VBox(title, grid, result, done, ask, cautions);
    card.getStyleClass().add("hp-keys-card");
    card.setMaxHeight(Region.USE_PREF_SIZE);
    root = new StackPane(card);
    root.getStyleClass().add("hp-keys");
    root.setId("pad");
    root.setVisible(false);
    root.addEventFilter(KeyEvent.KEY_PRESSED, this::keyed);
    sums();
  }

  private static TextField field(String id, String key) {
    TextField field = new TextField();
    field.setId(id);
    field.setPrefColumnCount(8);
    field.setAccessibleText(Texts.of(key + ".spoken"));
    return field;
  }

  private static void row(GridPane grid, int row, String key, TextField field) {
    Label label = new Label(Texts.of(key));
    label.setLabelFor(field);
    Label unit = new Label(Texts.of(key + ".unit"));
    unit.getStyleClass().add("hp-soft");
    grid.add(label, 0, row);
    grid.add(field, 1, row);
    grid.add(unit, 2, row);
  }

  private void sums() {
    String words =
        String.join("\n", LevelSums.of(source.getText(), input.getText(), excess.getText()));
    result.setText(words);
    result.setAccessibleText(words);
  }

  private void keyed(KeyEvent event) {
    if (event.getCode() == KeyCode.ESCAPE) {
      show(false);
      event.consume();
    } else if (event.getCode() == KeyCode.F1) {
      event.consume();
    }
  }

  void show(boolean wanted) {
    if (wanted && !root.isVisible()) {
      before = root.getScene() == null ? null : root.getScene().getFocusOwner();
    }
    root.setVisible(wanted);
    if (wanted) {
      source.requestFocus();
    } else if (before != null) {
      before.requestFocus();
      before = null;
    }
  }

  Node root() {
    return root;
  }
}
