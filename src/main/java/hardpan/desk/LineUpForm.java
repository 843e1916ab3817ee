package hardpan.desk;

import hardpan.desk.model.LineUpChoices;
import hardpan.desk.model.Texts;
import hardpan.shoot.PlaceBy;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import javafx.scene.Node;
import javafx.scene.control.ChoiceBox;
import javafx.scene.control.Label;
import javafx.scene.layout.VBox;
import javafx.util.StringConverter;
import org.jspecify.annotations.Nullable;

/** What the whole line-up goes by. */
final class LineUpForm {
  /** Stands for the longest good recording in the list of references. */
  private static final String LONGEST = "";

  private final ChoiceBox<PlaceBy> placing = new ChoiceBox<>();
  private final ChoiceBox<String> reference = new ChoiceBox<>();
  private final Label help = help("place-by-help");
  private final VBox root;
  private boolean filling;

  LineUpForm(LineUpChoices choices) {
    Label title = new Label(Texts.of("lining.title"));
    title.getStyleClass().add("hp-title");
    placing.setId("place-by");
    placing.setAccessibleText(Texts.of("lining.place-by.spoken"));
    placing.setAccessibleHelp(Texts.of("lining.help.picture"));
    placing.setMaxWidth(Double.MAX_VALUE);
    placing.getItems().setAll(PlaceBy.values());
    placing.setConverter(
        words(by -> Texts.of("lining.place-by." + by.name().toLowerCase(Locale.ROOT))));
    placing
        .valueProperty()
        .addListener(
            (property, before, now) -> {
              if (now != null && !filling) {
                choices.setPlacing(now);
              }
            });
    reference.setId("reference");
    reference.setAccessibleText(Texts.of("lining.reference.spoken"));
    reference.setAccessibleHelp(Texts.of("lining.reference.help"));
    reference.setMaxWidth(Double.MAX_VALUE);
    reference.setConverter(
        words(path -> path.equals(LONGEST) ? Texts.of("lining.reference.longest") : path));
    reference
        .valueProperty()
        .addListener(
            (property, before, now) -> {
              if (now != null && !filling) {
                choices.setReference(now.equals(LONGEST) ? null : now);
              }
            });
    Label referenceHelp = help("reference-help");
    referenceHelp.setText(Texts.of("lining.reference.help"));
    root =
        new VBox(
            6,
            title,
            LaneForm.label("lining.place-by", placing),
            placing,
            help,
            LaneForm.label("lining.reference", reference),
            reference,
            referenceHelp);
    root.getStyleClass().add("hp-form");
    choices.shownProperty().addListener((property, before, now) -> fill(now));
    fill(choices.shownProperty().get());
  }

  private static Label help(String id) {
    Label label = new Label();
    label.setId(id);
    label.setWrapText(true);
    label.getStyleClass().add("hp-soft");
    return label;
  }

  /** How a choice is said. */
  private interface Saying<T> {
    String of(T value);
  }

  private static <T> StringConverter<T> words(Saying<T> saying) {
    return new StringConverter<>() {
      @Override
      public String toString(@Nullable T value) {
        return value == null ? "" : saying.of(value);
      }

      @Override
      public T fromString(String words) {
        throw new UnsupportedOperationException("chosen, never typed");
      }
    };
  }

  private void fill(LineUpChoices.Shown now) {
    filling = true;
    placing.setValue(now.placing());
    help.setText(
        Texts.of(now.placing() == PlaceBy.PICTURE ? "lining.help.picture" : "lining.help.sound"));
    List<String> offered = new ArrayList<>(now.references());
    offered.add(0, LONGEST);
    if (!reference.getItems().equals(offered)) {
      reference.getItems().setAll(offered);
    }
    String wanted = now.reference();
    reference.setValue(wanted == null ? LONGEST : wanted);
    filling = false;
  }

  Node root() {
    return root;
  }
}
