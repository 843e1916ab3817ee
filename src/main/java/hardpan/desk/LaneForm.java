package hardpan.desk;

import hardpan.desk.model.LaneRow;
import hardpan.desk.model.LanesModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Texts;
import hardpan.lanes.LaneOffer;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.RadioButton;
import javafx.scene.control.TextField;
import javafx.scene.control.ToggleGroup;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** What can be decided about the chosen lane. */
final class LaneForm {
  private final LanesModel lanes;
  private final Runnable next;
  private final Label which = new Label();
  private final Label caution = new Label();
  private final TextField name = new TextField();
  private final ComboBox<String> role = new ComboBox<>();
  private final Button confirm = new Button();
  private final Button forDevice = new Button();
  private final CheckBox written = new CheckBox(Texts.of("lane.write"));
  private final RadioButton one = new RadioButton(Texts.of("lane.one"));
  private final RadioButton both = new RadioButton(Texts.of("lane.both"));
  private final VBox pair;
  private final VBox fields;
  private final VBox root;
  private boolean filling;
  private @Nullable LaneRow shown;

  /**
   * The form.
   *
   * @param next called when a name was given with Enter
   */
  LaneForm(LanesModel lanes, Runnable next) {
    this.lanes = lanes;
    this.next = next;
    Label title = new Label(Texts.of("lane.title"));
    title.getStyleClass().add("hp-title");
    which.getStyleClass().add("hp-strong");
    which.setWrapText(true);
    which.setId("lane-which");
    caution.setWrapText(true);
    caution.setId("lane-caution");
    Label nameLabel = label("lane.name", name);
    name.setId("lane-name");
    name.setAccessibleText(Texts.of("lane.name.spoken"));
    name.setOnAction(event -> named());
    name.focusedProperty().addListener((property, before, now) -> left(now));
    name.addEventFilter(KeyEvent.KEY_PRESSED, event -> undone(event, isNaming()));
    Label roleLabel = label("lane.role", role);
    role.setEditable(true);
    role.getItems().setAll(Texts.of("lane.roles").split("\\|"));
    role.setId("lane-role");
    role.setMaxWidth(Double.MAX_VALUE);
    role.setAccessibleText(Texts.of("lane.role.spoken"));
    role.setOnAction(event -> roleGiven());
    role.focusedProperty()
        .addListener(
            (property, before, now) -> {
              if (!now) {
                role.commitValue();
                roleGiven();
              }
            });
    role.addEventFilter(KeyEvent.KEY_PRESSED, event -> undone(event, isTypingRole()));
    lanes.beforeLeaving(this::take);
    confirm.setId("lane-role-confirm");
    confirm.setMaxWidth(Double.MAX_VALUE);
    confirm.setMnemonicParsing(false);
    confirm.setOnAction(event -> confirmed());
    forDevice.setId("lane-device");
    forDevice.setMaxWidth(Double.MAX_VALUE);
    forDevice.setMnemonicParsing(false);
    forDevice.setWrapText(true);
    forDevice.setMinHeight(Region.USE_PREF_SIZE);
    forDevice.setOnAction(event -> forDevice());
    written.setId("lane-write");
    written.setAccessibleText(Texts.of("lane.write.spoken"));
    written.setOnAction(event -> writtenChosen());
    ToggleGroup group = new ToggleGroup();
    one.setToggleGroup(group);
    one.setId("lane-one");
    one.setAccessibleText(Texts.of("lane.one.spoken"));
    one.setOnAction(event -> merged(true));
    both.setToggleGroup(group);
    both.setId("lane-both");
    both.setAccessibleText(Texts.of("lane.both.spoken"));
    both.setOnAction(event -> merged(false));
    Label pairWords = new Label(Texts.of("lane.pair"));
    pairWords.setWrapText(true);
    pair = new VBox(4, pairWords, one, both);
    fields =
        new VBox(6, caution, nameLabel, name, roleLabel, role, confirm, forDevice, written, pair);
    root = new VBox(6, title, which, fields);
    root.getStyleClass().add("hp-form");
    lanes.chosenProperty().addListener((property, before, now) -> show(now));
    show(lanes.chosenProperty().get());
  }

  static Label label(String key, Node control) {
    Label label = new Label(Texts.of(key));
    label.setMnemonicParsing(true);
    label.setLabelFor(control);
    return label;
  }

  private void named() {
    LaneRow row = lanes.chosenProperty().get();
    if (row != null) {
      lanes.rename(row, name.getText());
      next.run();
    }
  }

  private void left(boolean focused) {
    LaneRow row = lanes.chosenProperty().get();
    if (!focused && row != null && !filling) {
      lanes.rename(row, name.getText());
    }
  }

  /** A field takes back typing; what was decided is taken back by the menu. */
  private void undone(KeyEvent event, boolean typing) {
    if (!typing && DeskWindow.UNDO.match(event)) {
      lanes.undo();
      event.consume();
    }
  }

  private boolean isNaming() {
    LaneRow row = shown;
    return row != null && !name.getText().equals(row.lane().name());
  }

  private boolean isTypingRole() {
    LaneRow row = shown;
    String typed = role.getEditor().getText();
    return row != null && typed != null && !typed.equals(row.roleWords());
  }

  /** Takes what is typed and not taken yet. */
  private void take() {
    LaneRow row = lanes.chosenProperty().get();
    String typedName = name.getText();
    String typedRole = role.getEditor().getText();
    if (row != null) {
      lanes.rename(row, typedName);
      lanes.setRole(row, typedRole == null ? "" : typedRole);
    }
  }

  private void roleGiven() {
    LaneRow row = lanes.chosenProperty().get();
    String given = role.getEditor().getText();
    if (row != null && !filling && given != null) {
      lanes.setRole(row, given);
    }
  }

  /** The button goes away with the guess; the keyboard goes to what it was about. */
  private void confirmed() {
    LaneRow row = lanes.chosenProperty().get();
    if (row != null) {
      lanes.confirmRole(row);
      role.requestFocus();
    }
  }

  private void forDevice() {
    LaneRow row = lanes.chosenProperty().get();
    if (row != null) {
      lanes.useForDevice(row);
    }
  }

  private void writtenChosen() {
    LaneRow row = lanes.chosenProperty().get();
    if (row != null) {
      lanes.setWritten(row, written.isSelected());
    }
  }

  private void merged(boolean wanted) {
    LaneRow row = lanes.chosenProperty().get();
    if (row != null) {
      lanes.setMerged(row, wanted);
    }
  }

  private void show(@Nullable LaneRow row) {
    filling = true;
    present(fields, row != null);
    which.setText(
        row == null
            ? Texts.of("lane.none")
            : Texts.of("lane.of", row.lane().source(), row.sideWords(), row.formatWords()));
    if (row != null) {
      // A line-up may end while somebody types; the words are theirs until they leave the field.
      boolean same = row.isSame(shown);
      if (!same || !name.isFocused() || !isNaming()) {
        name.setText(row.lane().name());
      }
      if (!same || !role.isFocused() || !isTypingRole()) {
        role.setValue(row.roleWords());
        role.getEditor().setText(row.roleWords());
      }
      present(confirm, row.lane().roleGuessed());
      confirm.setText(Texts.of("lane.role.confirm", row.lane().role()));
      confirm.setAccessibleText(Texts.of("lane.role.confirm.spoken", row.lane().role()));
      written.setSelected(row.lane().isWritten());
      forDevice.setText(Texts.of("lane.device", row.lane().device()));
      forDevice.setAccessibleText(Texts.of("lane.device.spoken", row.lane().device()));
      LaneOffer.Twin twin = row.lane().pair();
      present(pair, twin != LaneOffer.Twin.NONE);
      one.setSelected(twin == LaneOffer.Twin.MERGED);
      both.setSelected(twin == LaneOffer.Twin.KEPT_APART);
      String words = row.lane().isWritten() ? row.noteWords() : row.stateWords();
      caution.setText(words);
      Mark mark = row.noteMark();
      caution.setGraphic(Marks.node(mark == null ? Mark.NOTE : mark));
      present(caution, !words.isEmpty());
    }
    shown = row;
    filling = false;
  }

  static void present(Node node, boolean present) {
    node.setVisible(present);
    node.setManaged(present);
  }

  /** Puts the keyboard into the name. */
  void focusName() {
    if (fields.isVisible()) {
      name.requestFocus();
      name.selectAll();
    }
  }

  Node root() {
    return root;
  }
}
