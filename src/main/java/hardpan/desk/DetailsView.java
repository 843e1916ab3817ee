package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DetailLine;
import hardpan.desk.model.Mark;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.Texts;
import java.util.ArrayList;
import java.util.List;
import javafx.geometry.HPos;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** What there is to say about the chosen source, or what to look at first. */
final class DetailsView {
  private final DeskModel model;
  private final VBox lines = new VBox();
  private final ScrollPane scroll = new ScrollPane(lines);
  private final VBox root;

  DetailsView(DeskModel model) {
    this.model = model;
    Label title = new Label(Texts.of("details.title"));
    title.getStyleClass().add("hp-title");
    title.setLabelFor(scroll);
    lines.getStyleClass().add("hp-details");
    scroll.setFitToWidth(true);
    scroll.setId("details");
    scroll.setFocusTraversable(true);
    scroll.setAccessibleText(Texts.of("details.spoken"));
    VBox.setVgrow(scroll, Priority.ALWAYS);
    root = new VBox(title, scroll);
    root.getStyleClass().add("hp-pane");
    model.shootProperty().addListener((property, before, now) -> show());
    model.chosenProperty().addListener((property, before, now) -> show());
    show();
  }

  private void show() {
    ShownShoot shown = model.shootProperty().get();
    List<Node> nodes = new ArrayList<>();
    if (shown != null) {
      for (DetailLine line : shown.details(model.chosenProperty().get())) {
        nodes.add(node(line));
      }
    }
    lines.getChildren().setAll(nodes);
    scroll.setVvalue(0);
  }

  private static Node node(DetailLine line) {
    if (line instanceof DetailLine.Heading heading) {
      return words(heading.text(), "hp-heading");
    }
    if (line instanceof DetailLine.Sentence sentence) {
      return marked(
          sentence.mark(), words(sentence.text(), sentence.soft() ? "hp-soft" : "hp-plain"));
    }
    if (line instanceof DetailLine.Found found) {
      VBox both = new VBox(2, words(found.kind() + ": " + found.says(), "hp-plain"));
      if (!found.remedy().isEmpty()) {
        both.getChildren().add(words(Texts.of("details.remedy", found.remedy()), "hp-soft"));
      }
      return marked(found.mark(), both);
    }
    return levels((DetailLine.Levels) line);
  }

  private static Label words(String text, String style) {
    Label label = new Label(text);
    label.setWrapText(true);
    label.setMinWidth(0);
    label.getStyleClass().add(style);
    return label;
  }

  private static Node marked(@Nullable Mark mark, Node words) {
    if (mark == null) {
      return words;
    }
    StackPane before = new StackPane(Marks.node(mark));
    before.getStyleClass().add("hp-mark-room");
    HBox.setHgrow(words, Priority.ALWAYS);
    return new HBox(8, before, words);
  }

  private static Node levels(DetailLine.Levels levels) {
    GridPane grid = new GridPane();
    grid.getStyleClass().add("hp-levels");
    for (int column = 0; column < levels.head().size(); column++) {
      put(grid, levels.head().get(column), column, 0, "hp-soft");
    }
    for (int row = 0; row < levels.rows().size(); row++) {
      for (int column = 0; column < levels.rows().get(row).size(); column++) {
        String style = column == 0 ? "hp-strong" : "hp-figure";
        put(grid, levels.rows().get(row).get(column), column, row + 1, style);
      }
    }
    return grid;
  }

  private static void put(GridPane grid, String text, int column, int row, String style) {
    Label label = new Label(text);
    label.getStyleClass().addAll(style, column == 0 ? "hp-left" : "hp-right");
    grid.add(label, column, row);
    GridPane.setHalignment(label, column == 0 ? HPos.LEFT : HPos.RIGHT);
  }

  Node root() {
    return root;
  }
}
