package hardpan.desk;

import hardpan.desk.model.LanesModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Texts;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.lanes.SampleChoice;
import hardpan.shoot.Wishes;
import java.util.Locale;
import java.util.function.Consumer;
import javafx.scene.Node;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ChoiceBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.VBox;
import javafx.util.StringConverter;
import org.jspecify.annotations.Nullable;

/** How the lanes go into files. */
final class FilesForm {
  private final LanesModel lanes;
  private final ChoiceBox<Layout> layout;
  private final ChoiceBox<SampleChoice> samples;
  private final ChoiceBox<DriftCorrection> drift;
  private final CheckBox poly = new CheckBox(Texts.of("files.poly"));
  private final TextField names = new TextField();
  private final Label preview = new Label();
  private final VBox root;
  private boolean filling;

  /** What the field of names was last filled with. */
  private String filled = "";

  FilesForm(LanesModel lanes) {
    this.lanes = lanes;
    Label title = new Label(Texts.of("files.title"));
    title.getStyleClass().add("hp-title");
    layout = choice("files.layout", Layout.values(), lanes::setLayout);
    samples = choice("files.samples", SampleChoice.values(), lanes::setSamples);
    drift = choice("files.drift", DriftCorrection.values(), lanes::setCorrection);
    poly.setId("poly");
    poly.setAccessibleText(Texts.of("files.poly.spoken"));
    poly.setOnAction(event -> lanes.setPoly(poly.isSelected()));
    names.setId("names");
    names.setAccessibleText(Texts.of("files.names.spoken"));
    names.textProperty().addListener((property, before, now) -> preview());
    names.setOnAction(event -> lanes.setNames(names.getText()));
    names
        .focusedProperty()
        .addListener(
            (property, before, now) -> {
              if (!now) {
                lanes.setNames(names.getText());
                fill();
              }
            });
    names.addEventFilter(
        KeyEvent.KEY_PRESSED,
        event -> {
          if (DeskWindow.UNDO.match(event) && names.getText().equals(filled)) {
            lanes.undo();
            event.consume();
          }
        });
    lanes.beforeLeaving(() -> lanes.setNames(names.getText()));
    preview.setId("names-preview");
    preview.setWrapText(true);
    preview.getStyleClass().add("hp-soft");
    Label fields = new Label(Texts.of("files.names.fields"));
    fields.setWrapText(true);
    fields.getStyleClass().add("hp-soft");
    root =
        new VBox(
            6,
            title,
            LaneForm.label("files.layout", layout),
            layout,
            poly,
            LaneForm.label("files.names", names),
            names,
            preview,
            fields,
            LaneForm.label("files.samples", samples),
            samples,
            LaneForm.label("files.drift", drift),
            drift);
    root.getStyleClass().add("hp-form");
    lanes.rowsProperty().addListener((property, before, now) -> fill());
    lanes.chosenProperty().addListener((property, before, now) -> preview());
    fill();
  }

  private <E extends Enum<E>> ChoiceBox<E> choice(String key, E[] values, Consumer<E> decide) {
    ChoiceBox<E> box = new ChoiceBox<>();
    box.getItems().setAll(values);
    box.setConverter(new Words<>(key));
    box.setId(key.substring("files.".length()));
    box.setMaxWidth(Double.MAX_VALUE);
    box.setAccessibleText(Texts.of(key + ".spoken"));
    box.valueProperty()
        .addListener(
            (property, before, now) -> {
              if (now != null && !filling) {
                decide.accept(now);
              }
            });
    return box;
  }

  /** The words of a choice. */
  private static final class Words<E extends Enum<E>> extends StringConverter<E> {
    private final String key;

    Words(String key) {
      this.key = key;
    }

    @Override
    public String toString(@Nullable E value) {
      return value == null ? "" : Texts.of(key + "." + value.name().toLowerCase(Locale.ROOT));
    }

    @Override
    public E fromString(String words) {
      throw new UnsupportedOperationException("chosen, never typed");
    }
  }

  private void fill() {
    Wishes.Files now = lanes.files();
    filling = true;
    layout.setValue(now.arrangement().layout());
    samples.setValue(now.arrangement().samples());
    drift.setValue(now.correction());
    poly.setSelected(now.arrangement().poly());
    boolean typing = names.isFocused() && !names.getText().equals(filled) && isTyping();
    filled = now.arrangement().names().toString();
    if (!typing) {
      names.setText(filled);
    }
    filling = false;
    preview();
  }

  /** Whether what stands in the field is not taken yet. */
  private boolean isTyping() {
    try {
      return !NameTemplate.parse(names.getText().strip())
          .equals(lanes.files().arrangement().names());
    } catch (IllegalArgumentException e) {
      return true;
    }
  }

  private void preview() {
    String wrong = lanes.problem(names.getText());
    preview.setText(wrong.isEmpty() ? lanes.preview(names.getText()) : wrong);
    preview.setGraphic(wrong.isEmpty() ? null : Marks.node(Mark.FAULT));
  }

  Node root() {
    return root;
  }
}
