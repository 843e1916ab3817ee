package hardpan.desk;

import hardpan.desk.clock.ClockView;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DeskSettings;
import hardpan.desk.model.Mark;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.Texts;
import java.io.File;
import java.util.List;
import javafx.beans.binding.Bindings;
import javafx.geometry.Orientation;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.SplitPane;
import javafx.scene.control.TextArea;
import javafx.scene.control.TextInputControl;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.DragEvent;
import javafx.scene.input.Dragboard;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyCodeCombination;
import javafx.scene.input.KeyCombination;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.TransferMode;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/**
 * The window, in the order of the job: at the top what the shoot is, below it one of two pages, the
 * sources and what was found in them or the lanes to be written, at the foot the hand-over. Empty,
 * it says what to do.
 */
final class DeskWindow implements DeskMenus.Pages {
  /** Takes back. */
  static final KeyCombination UNDO =
      new KeyCodeCombination(KeyCode.Z, KeyCombination.SHORTCUT_DOWN);

  /** Does again; the menu has the other usual keys. */
  private static final KeyCombination REDO =
      new KeyCodeCombination(KeyCode.Y, KeyCombination.SHORTCUT_DOWN);

  private static final KeyCombination FIRST_PAGE =
      new KeyCodeCombination(KeyCode.DIGIT1, KeyCombination.SHORTCUT_DOWN);

  private static final KeyCombination SECOND_PAGE =
      new KeyCodeCombination(KeyCode.DIGIT2, KeyCombination.SHORTCUT_DOWN);

  private static final double HALF = 0.5;
  private static final double SIDE_BY_SIDE = 0.4;

  /** Pixels that hold the picture's tools, the reference and a clip. */
  private static final double LEAST_PICTURE = 250;

  private final DeskModel model;
  private final Theme theme = new Theme();
  private final BorderPane root = new BorderPane();
  private final StackPane layers = new StackPane(root);
  private final EmptyView empty;
  private final SourcesView sources;
  private final LanesView lanes;
  private final KeysView keys = new KeysView();
  private final PadView pad = new PadView();
  private final Node sourcesPage;
  private final Label name = new Label();
  private final Label overview = new Label();
  private final ToggleButton toSources = new ToggleButton(Texts.of("page.sources"));
  private final ToggleButton toLanes = new ToggleButton(Texts.of("page.lanes"));
  private final HBox steps = new HBox(toSources, toLanes);
  private final Button another = new Button(Texts.of("head.another"));
  private final ToggleButton leftAside = new ToggleButton(Texts.of("head.left-out"));
  private final TextArea leftAsideList = new TextArea();
  private double[] ownPage = {HALF};
  private double[] ownLower = {SIDE_BY_SIDE};
  private Runnable closing = () -> {};

  DeskWindow(DeskModel model, PageOpener opener, DeskSettings settings) {
    this.model = model;
    theme.darkProperty().set(settings.isDark());
    theme.darkProperty().addListener((property, before, now) -> settings.setDark(now));
    empty = new EmptyView(model);
    sources = new SourcesView(model);
    lanes = new LanesView(model);
    sourcesPage = sourcesPage();
    root.setTop(new VBox(new DeskMenus(model, theme, this).bar(), head()));
    root.setCenter(new StackPane(empty.root(), sourcesPage, lanes.root()));
    root.setBottom(new HandOverBar(model, opener).root());
    layers.getChildren().addAll(pad.root(), keys.root());
    root.disableProperty().bind(keys.root().visibleProperty().or(pad.root().visibleProperty()));
    theme.dress(layers);
    layers.setOnDragOver(this::dragOver);
    layers.setOnDragExited(event -> empty.showDropping(false));
    layers.setOnDragDropped(this::dropped);
    layers.addEventHandler(KeyEvent.KEY_TYPED, this::typed);
    layers.addEventHandler(KeyEvent.KEY_PRESSED, this::pressed);
    root.addEventFilter(KeyEvent.KEY_PRESSED, this::turned);
    model.shootProperty().addListener((property, before, now) -> show(before, now));
    model.workingProperty().addListener((property, before, now) -> another.setDisable(now));
    show(null, null);
  }

  /** The views of the sources, each made by itself. */
  private Node sourcesPage() {
    DetailsView details = new DetailsView(model, theme);
    SplitPane lower = new SplitPane(sources.root(), details.root());
    lower.setDividerPositions(SIDE_BY_SIDE);
    SplitPane page =
        new SplitPane(
            new ClockView(model, theme::colour, theme.darkProperty(), details).root(), lower);
    page.setOrientation(Orientation.VERTICAL);
    page.setDividerPositions(HALF);
    details
        .largeProperty()
        .addListener(
            (property, before, now) -> {
              if (now) {
                ownPage = page.getDividerPositions();
                ownLower = lower.getDividerPositions();
                double picture = LEAST_PICTURE / Math.max(1, page.getHeight());
                page.setDividerPositions(Math.min(ownPage[0], picture));
                lower.setDividerPositions(Math.min(ownLower[0], 0.28));
              } else {
                page.setDividerPositions(ownPage);
                lower.setDividerPositions(ownLower);
              }
            });
    return page;
  }

  private Node head() {
    name.getStyleClass().add("hp-name");
    overview.getStyleClass().add("hp-overview");
    overview.setWrapText(true);
    ToggleGroup pages = new ToggleGroup();
    step(toSources, pages, "sources", DeskMenus.Page.SOURCES);
    step(toLanes, pages, "lanes", DeskMenus.Page.LANES);
    toSources.setSelected(true);
    // One of the two is always shown.
    pages
        .selectedToggleProperty()
        .addListener(
            (property, before, now) -> {
              if (now == null && before != null) {
                before.setSelected(true);
              }
            });
    steps.getStyleClass().add("hp-steps");
    another.setAccessibleText(Texts.of("head.another.spoken"));
    another.setOnAction(event -> model.chooseShoot());
    another.setMinWidth(Button.USE_PREF_SIZE);
    another.setId("another");
    HBox said = new HBox(10, overview, leftAside);
    said.setAlignment(Pos.CENTER_LEFT);
    leftAside.setMinWidth(Button.USE_PREF_SIZE);
    VBox words = new VBox(4, name, said);
    asideOnDemand();
    words.setMinWidth(0);
    HBox.setHgrow(words, Priority.ALWAYS);
    HBox line = new HBox(words, steps, another, darkButton());
    line.getStyleClass().add("hp-line");
    line.setAlignment(Pos.TOP_LEFT);
    // Below the rest, so that nothing above it moves when it opens.
    VBox head = new VBox(6, line, leftAsideList);
    head.getStyleClass().add("hp-head");
    return head;
  }

  /** Files that were not used are many or none; they are shown when they are asked for. */
  private void asideOnDemand() {
    leftAside.setId("left-aside");
    leftAside.getStyleClass().add("hp-ask");
    leftAside.setAccessibleText(Texts.of("head.left-out.spoken"));
    leftAsideList.setId("left-aside-list");
    leftAsideList.setAccessibleText(Texts.of("head.left-out.list.spoken"));
    leftAsideList.setEditable(false);
    leftAsideList.setWrapText(true);
    leftAsideList.setPrefRowCount(5);
    leftAsideList.setMinHeight(TextArea.USE_PREF_SIZE);
    LaneForm.present(leftAsideList, false);
    leftAsideList.addEventFilter(
        KeyEvent.KEY_PRESSED,
        event -> {
          // While work goes on, Escape stops that.
          if (event.getCode() == KeyCode.ESCAPE && !model.workingProperty().get()) {
            leftAside.setSelected(false);
            leftAside.requestFocus();
            event.consume();
          }
        });
    leftAside
        .selectedProperty()
        .addListener((property, before, now) -> LaneForm.present(leftAsideList, now));
  }

  private void step(ToggleButton button, ToggleGroup group, String id, DeskMenus.Page page) {
    button.setToggleGroup(group);
    button.setId("page-" + id);
    button.setMinWidth(Button.USE_PREF_SIZE);
    button.setAccessibleText(Texts.of("page." + id + ".spoken"));
    button.setOnAction(event -> show(page));
  }

  private Button darkButton() {
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
    return dark;
  }

  @Override
  public void show(DeskMenus.Page page) {
    if (model.shootProperty().get() == null) {
      return;
    }
    (page == DeskMenus.Page.LANES ? toLanes : toSources).setSelected(true);
    arrange(true);
    if (page == DeskMenus.Page.LANES) {
      lanes.focus();
    } else {
      sources.focus();
    }
  }

  private void arrange(boolean shown) {
    empty.root().setVisible(!shown);
    sourcesPage.setVisible(shown && toSources.isSelected());
    lanes.root().setVisible(shown && toLanes.isSelected());
  }

  private void show(@Nullable ShownShoot before, @Nullable ShownShoot now) {
    boolean shown = now != null;
    arrange(shown);
    LaneForm.present(another, shown);
    LaneForm.present(steps, shown);
    name.setText(now == null ? Texts.of("window.title") : now.name());
    overview.setText(now == null ? Texts.of("head.what") : now.overview());
    Mark worst = now == null ? null : now.worst();
    overview.setGraphic(worst == null ? null : Marks.node(worst));
    String aside = now == null ? "" : now.leftOut();
    LaneForm.present(leftAside, !aside.isEmpty());
    if (aside.isEmpty()) {
      leftAside.setSelected(false);
    }
    leftAsideList.setText(aside);
    if (shown && before == null) {
      sources.focus();
    }
  }

  @Override
  public void toggleKeys() {
    keys.toggle();
  }

  @Override
  public void showPad() {
    pad.show(true);
  }

  /** What closing the window means. */
  void onClose(Runnable close) {
    closing = close;
  }

  @Override
  public void close() {
    closing.run();
  }

  private void typed(KeyEvent event) {
    if (event.getCharacter().equals("?") && !(event.getTarget() instanceof TextInputControl)) {
      keys.toggle();
      event.consume();
    }
  }

  private void pressed(KeyEvent event) {
    if (REDO.match(event)) {
      model.edits().redo();
      event.consume();
    }
  }

  /** The pages go before whatever else a view does with these digits. */
  private void turned(KeyEvent event) {
    boolean first = FIRST_PAGE.match(event);
    if (first || SECOND_PAGE.match(event)) {
      show(first ? DeskMenus.Page.SOURCES : DeskMenus.Page.LANES);
      event.consume();
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
    return layers;
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
