package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.LaneRow;
import hardpan.desk.model.LanesModel;
import hardpan.desk.model.LineUpChoices;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Texts;
import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import javafx.beans.property.ReadOnlyStringWrapper;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Separator;
import javafx.scene.control.SplitPane;
import javafx.scene.control.TableCell;
import javafx.scene.control.TableColumn;
import javafx.scene.control.TableRow;
import javafx.scene.control.TableView;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.scene.shape.SVGPath;
import javafx.scene.text.Font;
import javafx.scene.text.Text;
import org.jspecify.annotations.Nullable;

/** The lanes to be written: all of them in a table, what can be decided beside it. */
final class LanesView {
  /** No column is wider, except the last one; longer words go on in a second line or are cut. */
  private static final double MOST_WIDTH = 200;

  /** What is wider gives way where there is too little room. */
  private static final double LONG_WORDS = 115;

  /** Border and scroll bar. */
  private static final double BESIDE_COLUMNS = 20;

  /** As the style sheet has them. */
  private static final double FONT_PIXELS = 13;

  private static final double PADDING = 16;
  private static final double MARK_ROOM = 18;

  private final LanesModel lanes;
  private final TableView<LaneRow> table = new TableView<>();
  private final TableColumn<LaneRow, String> note =
      new TableColumn<>(Texts.of("lanes.column.note"));
  private final Label summary = new Label();
  private final LaneForm form;
  private final SplitPane root;
  private boolean filling;

  LanesView(DeskModel model) {
    lanes = model.lanes();
    form = new LaneForm(lanes, this::toNext);
    Label title = new Label(Texts.of("lanes.title"));
    title.getStyleClass().add("hp-title");
    title.setLabelFor(table);
    summary.setId("lanes-summary");
    table.setId("lanes");
    table.setAccessibleText(Texts.of("lanes.spoken"));
    table.setColumnResizePolicy(TableView.UNCONSTRAINED_RESIZE_POLICY);
    table.widthProperty().addListener((property, before, now) -> fitColumns());
    table.setPlaceholder(new Label(Texts.of("lanes.none")));
    table.getColumns().setAll(columns());
    table.setRowFactory(view -> new Row());
    table
        .getSelectionModel()
        .selectedItemProperty()
        .addListener((property, before, now) -> choose(now));
    table.addEventFilter(KeyEvent.KEY_PRESSED, this::keyed);
    VBox.setVgrow(table, Priority.ALWAYS);
    VBox left = new VBox(title, summary, table);
    left.getStyleClass().add("hp-pane");
    ScrollPane scroll =
        new ScrollPane(
            new VBox(
                form.root(),
                new Separator(),
                new FilesForm(lanes).root(),
                new Separator(),
                new LineUpForm(new LineUpChoices(model)).root()));
    scroll.setFitToWidth(true);
    scroll.setFocusTraversable(false);
    scroll.getStyleClass().add("hp-bare");
    VBox right = new VBox(scroll);
    right.getStyleClass().add("hp-pane");
    right.setMinWidth(290);
    VBox.setVgrow(scroll, Priority.ALWAYS);
    root = new SplitPane(left, right);
    root.setDividerPositions(0.75);
    lanes.rowsProperty().addListener((property, before, now) -> fill(now));
    lanes.chosenProperty().addListener((property, before, now) -> follow(now));
    fill(lanes.rowsProperty().get());
  }

  private List<TableColumn<LaneRow, String>> columns() {
    TableColumn<LaneRow, String> written =
        column("lanes.column.written", row -> row.isWritten() ? "yes" : "");
    written.setCellFactory(column -> new WrittenCell());
    note.setCellValueFactory(cell -> new ReadOnlyStringWrapper(cell.getValue().noteWords()));
    note.setCellFactory(column -> new NoteCell());
    note.setSortable(false);
    note.setReorderable(false);
    return List.of(
        written,
        column("lanes.column.name", LaneRow::nameWords),
        column("lanes.column.role", LaneRow::roleWords),
        column("lanes.column.source", row -> row.lane().source()),
        column("lanes.column.side", LaneRow::sideWords),
        column("lanes.column.start", LaneRow::startWords),
        column("lanes.column.length", LaneRow::lengthWords),
        note,
        column("lanes.column.file", LaneRow::fileWords));
  }

  private static TableColumn<LaneRow, String> column(String key, Function<LaneRow, String> words) {
    TableColumn<LaneRow, String> column = new TableColumn<>(Texts.of(key));
    column.setCellValueFactory(cell -> new ReadOnlyStringWrapper(words.apply(cell.getValue())));
    column.setSortable(false);
    column.setReorderable(false);
    return column;
  }

  private void choose(@Nullable LaneRow row) {
    if (!filling) {
      lanes.chosenProperty().set(row);
    }
  }

  private void keyed(KeyEvent event) {
    LaneRow row = lanes.chosenProperty().get();
    if (row == null || event.isShortcutDown() || event.isAltDown()) {
      return;
    }
    if (event.getCode() == KeyCode.SPACE) {
      lanes.setWritten(row, !row.lane().isWritten());
      event.consume();
    } else if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.F2) {
      form.focusName();
      event.consume();
    }
  }

  /** To the next lane, for naming one after the other. */
  private void toNext() {
    int next = table.getSelectionModel().getSelectedIndex() + 1;
    if (next < table.getItems().size()) {
      table.getSelectionModel().select(next);
      table.scrollTo(Math.max(0, next - 2));
    }
    form.focusName();
  }

  private void fill(List<LaneRow> rows) {
    LaneRow kept = lanes.chosenProperty().get();
    filling = true;
    table.getItems().setAll(rows);
    fitColumns();
    filling = false;
    summary.setText(rows.isEmpty() ? "" : lanes.summary());
    follow(kept);
  }

  /**
   * Every column as wide as its words; what is left over goes to the last one, and what is missing
   * is taken from those with long words.
   */
  private void fitColumns() {
    List<TableColumn<LaneRow, ?>> columns = table.getColumns();
    double[] widths = columns.stream().mapToDouble(this::wanted).toArray();
    double over = Arrays.stream(widths).sum() - (table.getWidth() - BESIDE_COLUMNS);
    if (over <= 0) {
      widths[widths.length - 1] -= over;
    } else {
      double flexible = Arrays.stream(widths).filter(width -> width > LONG_WORDS).sum();
      double factor = Math.max(0.5, 1 - over / Math.max(1, flexible));
      for (int i = 0; i < widths.length; i++) {
        widths[i] *= widths[i] > LONG_WORDS ? factor : 1;
      }
    }
    for (int i = 0; i < widths.length; i++) {
      columns.get(i).setPrefWidth(widths[i]);
    }
    table.refresh();
  }

  /** What the longest words of a column need, within reason. */
  private double wanted(TableColumn<LaneRow, ?> column) {
    double widest = words(column.getText());
    boolean box = column == table.getColumns().get(0);
    for (LaneRow row : box ? List.<LaneRow>of() : table.getItems()) {
      widest = Math.max(widest, words(String.valueOf(column.getCellData(row))));
    }
    return Math.min(MOST_WIDTH, widest + (column == note && !isQuiet() ? MARK_ROOM : 0) + PADDING);
  }

  /** Whether there is nothing to take care of. */
  private boolean isQuiet() {
    return table.getItems().stream().allMatch(row -> row.noteWords().isEmpty());
  }

  private static double words(String text) {
    Text words = new Text(text);
    words.setFont(Font.font(FONT_PIXELS));
    return words.getLayoutBounds().getWidth();
  }

  private void follow(@Nullable LaneRow row) {
    int index = row == null ? -1 : table.getItems().indexOf(row);
    filling = true;
    if (index < 0) {
      table.getSelectionModel().clearSelection();
    } else if (table.getSelectionModel().getSelectedIndex() != index) {
      table.getSelectionModel().select(index);
    }
    filling = false;
  }

  /** Puts the keyboard into the table, on the first lane if none is chosen. */
  void focus() {
    if (lanes.chosenProperty().get() == null && !table.getItems().isEmpty()) {
      table.getSelectionModel().select(0);
    }
    table.requestFocus();
  }

  Node root() {
    return root;
  }

  /** A box with a tick or without: it says what is written, not whether it is sound. */
  private static final class WrittenCell extends TableCell<LaneRow, String> {
    private final SVGPath tick = new SVGPath();
    private final StackPane box = new StackPane(tick);

    WrittenCell() {
      tick.setContent(Mark.DONE.path());
      tick.getStyleClass().add("hp-ink-mark");
      box.getStyleClass().add("hp-tick-box");
    }

    @Override
    protected void updateItem(@Nullable String item, boolean empty) {
      super.updateItem(item, empty);
      tick.setVisible(item != null && !item.isEmpty());
      setGraphic(empty || item == null ? null : box);
    }
  }

  /** The shape of what weighs most before the words, which go on in a second line. */
  private static final class NoteCell extends TableCell<LaneRow, String> {
    private final Text words = new Text();

    NoteCell() {
      words.getStyleClass().add("hp-cell-text");
    }

    @Override
    protected void updateItem(@Nullable String item, boolean empty) {
      super.updateItem(item, empty);
      LaneRow row = getTableRow() == null ? null : getTableRow().getItem();
      Mark mark = row == null ? null : row.noteMark();
      if (empty || item == null || item.isEmpty() || mark == null) {
        setGraphic(null);
        return;
      }
      words.setText(item);
      words.setWrappingWidth(Math.max(60, getTableColumn().getWidth() - 38));
      HBox line = new HBox(6, Marks.node(mark), words);
      line.setAlignment(Pos.CENTER_LEFT);
      setGraphic(line);
    }
  }

  /** Speaks as one sentence, and shows in full what does not fit its columns. */
  private static final class Row extends TableRow<LaneRow> {
    @Override
    protected void updateItem(@Nullable LaneRow row, boolean empty) {
      super.updateItem(row, empty);
      if (empty || row == null) {
        setAccessibleText(null);
        setTooltip(null);
        return;
      }
      setAccessibleText(row.spoken());
      setTooltip(row.noteWords().isEmpty() ? null : new Tooltip(row.noteWords()));
    }
  }
}
