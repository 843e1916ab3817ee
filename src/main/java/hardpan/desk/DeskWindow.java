package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.Texts;
import java.io.File;
import java.util.List;
import javafx.beans.binding.Bindings;
import javafx.geometry.Orientation;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.SplitPane;
import javafx.scene.control.Tooltip;
import javafx.scene.input.DragEvent;
import javafx.scene.input.Dragboard;
import javafx.scene.input.TransferMode;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/**
 * The one screen: what the shoot is at the top, its picture, sources and details below, the
 * hand-over at the foot. Empty, it says what to do.
 */
final class DeskWindow {
  private final DeskModel model;
  private final Theme theme = new Theme();
  private final BorderPane root = new BorderPane();
  private final EmptyView empty;
  private final SourcesView sources;
  private final SplitPane full;
  private final Label name = new Label();
  private final Label overview = new Label();
  private final Button another = new Button(Texts.of("head.another"));

  DeskWindow(DeskModel model, PageOpener opener) {
    this.model = model;
    empty = new EmptyView(model);
    sources = new SourcesView(model);
    DetailsView details = new DetailsView(model, theme);
    SplitPane lower = new SplitPane(sources.root(), details.root());
    lower.setDividerPositions(0.4);
    full = new SplitPane(new ClockView(model, theme).root(), lower);
    full.setOrientation(Orientation.VERTICAL);
    full.setDividerPositions(0.56);
    details
        .largeProperty()
        .addListener((property, before, now) -> full.setDividerPositions(now ? 0.1 : 0.56));
    root.setTop(head());
    root.setCenter(new StackPane(empty.root(), full));
    root.setBottom(new HandOverBar(model, opener).root());
    theme.dress(root);
    root.setOnDragOver(this::dragOver);
    root.setOnDragExited(event -> empty.showDropping(false));
    root.setOnDragDropped(this::dropped);
    model.shootProperty().addListener((property, before, now) -> show(before, now));
    model.workingProperty().addListener((property, before, now) -> another.setDisable(now));
    show(null, null);
  }

  private VBox head() {
    name.getStyleClass().add("hp-name");
    overview.getStyleClass().add("hp-overview");
    overview.setWrapText(true);
    another.setAccessibleText(Texts.of("head.another.spoken"));
    another.setOnAction(event -> model.chooseShoot());
    another.setMinWidth(Button.USE_PREF_SIZE);
    another.setId("another");
    Button dark = new Button();
    dark.textProperty()
        .bind(
            Bindings.when(theme.darkProperty())
                .then(Texts.of("head.light"))
                .otherwise(Texts.of("head.dark")));
    dark.accessibleTextProperty()
        .bind(
            Bindings.when(theme.darkProperty())
                .then(Texts.of("head.light.spoken"))
                .otherwise(Texts.of("head.dark.spoken")));
    dark.setMinWidth(Button.USE_PREF_SIZE);
    dark.setId("dark");
    dark.setOnAction(event -> theme.darkProperty().set(!theme.darkProperty().get()));
    VBox words = new VBox(name, overview);
    HBox.setHgrow(words, Priority.ALWAYS);
    HBox line = new HBox(words, another, dark);
    line.getStyleClass().add("hp-head");
    return new VBox(line);
  }

  private void show(@Nullable ShownShoot before, @Nullable ShownShoot now) {
    boolean shown = now != null;
    empty.root().setVisible(!shown);
    full.setVisible(shown);
    another.setVisible(shown);
    another.setManaged(shown);
    name.setText(now == null ? Texts.of("window.title") : now.name());
    overview.setText(now == null ? "" : now.overview());
    String aside = now == null ? "" : now.leftOut();
    overview.setTooltip(aside.isEmpty() ? null : new Tooltip(Texts.of("head.left-out", aside)));
    if (shown && before == null) {
      sources.focus();
    }
  }

  private void dragOver(DragEvent event) {
    if (event.getDragboard().hasFiles() && !model.workingProperty().get()) {
      event.acceptTransferModes(TransferMode.COPY);
      empty.showDropping(true);
    }
    event.consume();
  }

  private void dropped(DragEvent event) {
    Dragboard board = event.getDragboard();
    boolean takes = board.hasFiles() && !model.workingProperty().get();
    empty.showDropping(false);
    event.setDropCompleted(takes);
    event.consume();
    if (takes) {
      List<File> files = board.getFiles();
      model.open(files.stream().map(File::toPath).toList());
    }
  }

  Parent root() {
    return root;
  }

  Theme theme() {
    return theme;
  }

  /** Puts the keyboard where work begins. */
  void focusFirst() {
    if (model.shootProperty().get() == null) {
      empty.focus();
    } else {
      sources.focus();
    }
  }
}
