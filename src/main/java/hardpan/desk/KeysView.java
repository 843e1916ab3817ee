package hardpan.desk;

import hardpan.desk.model.KeyMap;
import hardpan.desk.model.Texts;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** All keys, over everything else while they are wanted. */
final class KeysView {
  private final StackPane root;
  private final ScrollPane scroll = new ScrollPane();
  private final Button done = new Button(Texts.of("keys.close"));
  private @Nullable Node before;

  KeysView() {
    HBox columns = new HBox(columns());
    columns.getStyleClass().add("hp-keys-columns");
    Label title = new Label(Texts.of("keys.title"));
    title.getStyleClass().add("hp-name");
    scroll.setContent(columns);
    scroll.setFitToWidth(true);
    scroll.setFocusTraversable(true);
    scroll.setId("keys-list");
    scroll.setAccessibleText(spoken());
    VBox.setVgrow(scroll, Priority.ALWAYS);
    done.setId("keys-close");
    done.setAccessibleText(Texts.of("keys.close.spoken"));
    done.setCancelButton(true);
    done.setOnAction(event -> show(false));
    VBox card = new VBox(title, scroll, done);
    card.getStyleClass().add("hp-keys-card");
    root = new StackPane(card);
    root.getStyleClass().add("hp-keys");
    root.setId("keys");
    root.setVisible(false);
    done.disableProperty().bind(root.visibleProperty().not());
    root.addEventFilter(KeyEvent.KEY_PRESSED, this::keyed);
  }

  /** Two, about equally long; groups stay whole. */
  private static GridPane[] columns() {
    int lines = KeyMap.groups().stream().mapToInt(group -> group.keys().size() + 1).sum();
    GridPane[] columns = {grid(), grid()};
    int put = 0;
    for (KeyMap.Group group : KeyMap.groups()) {
      GridPane grid = columns[put * 2 < lines ? 0 : 1];
      Label title = new Label(group.title());
      title.getStyleClass().add("hp-heading");
      grid.add(title, 0, grid.getRowCount(), 2, 1);
      for (KeyMap.Key key : group.keys()) {
        Label keys = new Label(key.keys());
        keys.getStyleClass().add("hp-strong");
        keys.setMinWidth(Label.USE_PREF_SIZE);
        Label does = new Label(key.does());
        does.setWrapText(true);
        grid.addRow(grid.getRowCount(), keys, does);
      }
      put += group.keys().size() + 1;
    }
    return columns;
  }

  private static GridPane grid() {
    GridPane grid = new GridPane();
    grid.getStyleClass().add("hp-keys-grid");
    HBox.setHgrow(grid, Priority.ALWAYS);
    return grid;
  }

  private static String spoken() {
    StringBuilder text = new StringBuilder(Texts.of("keys.title")).append(". ");
    for (KeyMap.Group group : KeyMap.groups()) {
      text.append(group.title()).append(": ");
      group
          .keys()
          .forEach(key -> text.append(key.keys()).append(", ").append(key.does()).append(". "));
    }
    return text.toString();
  }

  private void keyed(KeyEvent event) {
    if (event.getCode() == KeyCode.ESCAPE || event.getCode() == KeyCode.F1) {
      show(false);
      event.consume();
    } else if (event.isShortcutDown()) {
      // What lies below is not to be worked with unseen.
      event.consume();
    }
  }

  void toggle() {
    show(!root.isVisible());
  }

  private void show(boolean wanted) {
    if (wanted) {
      before = root.getScene() == null ? null : root.getScene().getFocusOwner();
    }
    root.setVisible(wanted);
    if (wanted) {
      scroll.requestFocus();
    } else if (before != null) {
      before.requestFocus();
      before = null;
    }
  }

  Node root() {
    return root;
  }
}
