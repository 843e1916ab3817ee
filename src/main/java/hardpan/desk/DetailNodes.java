package hardpan.desk;

import hardpan.desk.model.DetailLine;
import hardpan.desk.model.Listen;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Why;
import java.util.ArrayList;
import java.util.List;
import javafx.geometry.HPos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ToggleButton;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.GridPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** The details as nodes: a sentence, its shape before it, and what it rests on when asked for. */
final class DetailNodes {
  private static final int MOST_SPOKEN = 80;

  private final Listen listen;

  DetailNodes(Listen listen) {
    this.listen = listen;
  }

  /** All of them; a line that was there before keeps its node, and the keyboard with it. */
  List<Node> nodes(List<DetailLine> now, List<Node> beforeNodes, List<DetailLine> before) {
    List<Node> kept = new ArrayList<>(beforeNodes);
    List<DetailLine> left = new ArrayList<>(before);
    List<Node> all = new ArrayList<>();
    for (DetailLine line : now) {
      int at = left.indexOf(line);
      if (at < 0) {
        all.add(node(line));
      } else {
        left.remove(at);
        all.add(kept.remove(at));
      }
    }
    return all;
  }

  private Node node(DetailLine line) {
    if (line instanceof DetailLine.Heading heading) {
      return words(heading.text(), "hp-heading");
    }
    if (line instanceof DetailLine.Sentence sentence) {
      Label says = words(sentence.text(), sentence.soft() ? "hp-soft" : "hp-plain");
      return marked(sentence.mark(), withWhy(says, sentence.text(), sentence.why()));
    }
    if (line instanceof DetailLine.Found found) {
      VBox both = new VBox(2, words(found.kind() + ": " + found.says(), "hp-plain"));
      if (!found.remedy().isEmpty()) {
        both.getChildren().add(words(Texts.of("details.remedy", found.remedy()), "hp-plain"));
      }
      return marked(found.mark(), withWhy(both, found.says(), found.why()));
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

  /** With a button that opens the numbers behind it, and one for each stretch. */
  private Node withWhy(Region words, String says, Why why) {
    if (why.isEmpty()) {
      return words;
    }
    VBox numbers = new VBox(2);
    numbers.getStyleClass().add("hp-why");
    why.lines().forEach(line -> numbers.getChildren().add(words(line, "hp-soft")));
    if (!why.places().isEmpty()) {
      FlowPane places = new FlowPane(6, 6);
      for (Why.Place place : why.places()) {
        Button go = new Button(place.words());
        go.getStyleClass().add("hp-small");
        go.setAccessibleText(Texts.of("why.go.spoken", place.words()));
        go.setOnAction(event -> listen.pointAt(place.startSeconds()));
        places.getChildren().add(go);
      }
      numbers.getChildren().addAll(words(Texts.of("why.places"), "hp-soft"), places);
    }
    numbers.setVisible(false);
    numbers.setManaged(false);
    ToggleButton ask = new ToggleButton(Texts.of("why.ask"));
    ask.getStyleClass().addAll("hp-small", "hp-ask");
    String start = says.length() > MOST_SPOKEN ? says.substring(0, MOST_SPOKEN) + "\u2026" : says;
    ask.setAccessibleText(Texts.of("why.ask.spoken", start));
    ask.setMinWidth(Region.USE_PREF_SIZE);
    ask.selectedProperty()
        .addListener(
            (property, before, now) -> {
              numbers.setVisible(now);
              numbers.setManaged(now);
            });
    words.setMaxWidth(Double.MAX_VALUE);
    HBox.setHgrow(words, Priority.ALWAYS);
    return new VBox(4, new HBox(8, words, ask), numbers);
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
}
