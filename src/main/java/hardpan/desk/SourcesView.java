package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.control.ListCell;
import javafx.scene.control.ListView;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** The list of sources. */
final class SourcesView {
  private final DeskModel model;
  private final ListView<SourceRow> list = new ListView<>();
  private final VBox root;

  SourcesView(DeskModel model) {
    this.model = model;
    Label title = new Label(Texts.of("sources.title"));
    title.getStyleClass().add("hp-title");
    title.setLabelFor(list);
    list.setId("sources");
    list.setAccessibleText(Texts.of("sources.spoken"));
    list.setCellFactory(view -> new Cell());
    list.getSelectionModel()
        .selectedItemProperty()
        .addListener(
            (property, before, now) -> {
              if (now != null) {
                model.chosenProperty().set(now);
              }
            });
    list.addEventFilter(KeyEvent.KEY_PRESSED, this::letGo);
    model.shootProperty().addListener((property, before, now) -> fill(now));
    model.chosenProperty().addListener((property, before, now) -> follow(now));
    VBox.setVgrow(list, Priority.ALWAYS);
    root = new VBox(title, list);
    root.getStyleClass().add("hp-pane");
    fill(model.shootProperty().get());
  }

  /** Escape stops the work; at rest it chooses nothing, which shows what to look at first. */
  private void letGo(KeyEvent event) {
    if (event.getCode() == KeyCode.ESCAPE) {
      if (model.workingProperty().get()) {
        model.cancel();
      } else {
        model.chosenProperty().set(null);
      }
      event.consume();
    }
  }

  private void fill(@Nullable ShownShoot shown) {
    if (shown == null) {
      list.getItems().clear();
    } else {
      list.getItems().setAll(shown.rows());
    }
    follow(model.chosenProperty().get());
  }

  private void follow(@Nullable SourceRow row) {
    if (row == null) {
      list.getSelectionModel().clearSelection();
    } else if (!row.equals(list.getSelectionModel().getSelectedItem())) {
      list.getSelectionModel().select(row);
      list.scrollTo(row);
    }
  }

  void focus() {
    list.requestFocus();
  }

  Node root() {
    return root;
  }

  /** Two lines a source: what it is, and how it came out. */
  private static final class Cell extends ListCell<SourceRow> {
    private final Label number = new Label();
    private final Label file = new Label();
    private final Label device = new Label();
    private final Label place = new Label();
    private final Label pair = new Label();
    private final Label findings = new Label();
    private final HBox box;

    Cell() {
      number.getStyleClass().add("hp-number");
      file.getStyleClass().add("hp-strong");
      device.getStyleClass().add("hp-soft");
      pair.getStyleClass().add("hp-soft");
      place.setMinWidth(Region.USE_PREF_SIZE);
      findings.setMinWidth(Region.USE_PREF_SIZE);
      device.setMinWidth(0);
      HBox first = new HBox(10, file, gap(), findings);
      HBox second = new HBox(10, place, pair, gap(), device);
      VBox lines = new VBox(3, first, second);
      HBox.setHgrow(lines, Priority.ALWAYS);
      lines.setMinWidth(0);
      box = new HBox(8, number, lines);
      box.setMinWidth(0);
      box.setPrefWidth(1);
    }

    private static Region gap() {
      Region gap = new Region();
      HBox.setHgrow(gap, Priority.ALWAYS);
      return gap;
    }

    @Override
    protected void updateItem(@Nullable SourceRow row, boolean empty) {
      super.updateItem(row, empty);
      if (row == null || empty) {
        setGraphic(null);
        setAccessibleText(null);
        return;
      }
      number.setText(Integer.toString(row.number()));
      file.setText(row.path());
      device.setText(row.path().startsWith(row.device() + "/") ? "" : row.device());
      place.setText(row.placeWords());
      place.setGraphic(Marks.node(row.mark()));
      pair.setText(row.pairWords());
      findings.setText(row.findingWords());
      Mark worst = row.findingMark();
      findings.setGraphic(worst == null ? null : Marks.node(worst));
      setAccessibleText(row.spoken());
      setGraphic(box);
    }
  }
}
