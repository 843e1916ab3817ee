package hardpan.desk;

import hardpan.desk.model.Pictures;
import hardpan.desk.model.Plot;
import hardpan.desk.model.Texts;
import java.util.ArrayList;
import java.util.List;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.layout.VBox;

/** The pictures of the chosen source, each under its title and the words that say the same. */
final class PicturesView {
  private final Theme theme;
  private final VBox root = new VBox();

  PicturesView(Pictures pictures, Theme theme) {
    this.theme = theme;
    root.getStyleClass().add("hp-details");
    root.setId("pictures");
    pictures.shownProperty().addListener((property, before, now) -> show(now));
    theme
        .darkProperty()
        .addListener(
            (property, before, now) ->
                root.getChildren().stream()
                    .filter(PlotView.class::isInstance)
                    .forEach(plot -> ((PlotView) plot).paint()));
    show(pictures.shownProperty().get());
  }

  private void show(Pictures.Shown shown) {
    List<Node> nodes = new ArrayList<>();
    if (!shown.words().isEmpty()) {
      nodes.add(words(shown.words(), "hp-plain"));
    }
    for (Plot plot : shown.plots()) {
      nodes.add(words(plot.title(), "hp-heading"));
      nodes.add(words(plot.words(), "hp-plain"));
      nodes.add(new PlotView(plot, theme));
    }
    if (!shown.plots().isEmpty()) {
      nodes.add(words(Texts.of("pictures.scale"), "hp-soft"));
    }
    root.getChildren().setAll(nodes);
  }

  private static Label words(String text, String style) {
    Label label = new Label(text);
    label.setWrapText(true);
    label.setMinWidth(0);
    label.getStyleClass().add(style);
    return label;
  }

  Node root() {
    return root;
  }
}
