package hardpan.desk;

import hardpan.desk.model.LineUpChoices;
import hardpan.desk.model.Texts;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;

/** What the chosen source is to the rest of the shoot: the reference, and whose clock it has. */
final class BelongingView {
  private final Button takeAsReference = PlaceView.button("belong-reference", "belong.reference");
  private final ComboBox<String> device = new ComboBox<>();
  private final Button ofRun = PlaceView.button("belong-device", "belong.device.put");
  private final Button ofFolder = PlaceView.button("belong-folder", "belong.device.folder");
  private final Button found = PlaceView.button("belong-found", "belong.device.found");
  private final VBox root;

  /** What the field of devices was last filled with. */
  private String filled = "";

  BelongingView(LineUpChoices choices) {
    Label title = new Label(Texts.of("belong.title"));
    title.getStyleClass().add("hp-heading");
    takeAsReference.setOnAction(event -> choices.takeAsReference());
    device.setEditable(true);
    device.setId("belong-device-name");
    device.setAccessibleText(Texts.of("belong.device.spoken"));
    device.getEditor().setOnAction(event -> choices.setDevice(typed()));
    ofRun.setOnAction(event -> choices.setDevice(typed()));
    ofFolder.setOnAction(event -> choices.setDeviceOfFolder(typed()));
    found.setOnAction(event -> choices.forgetDevice());
    Label help = new Label(Texts.of("belong.device.help"));
    help.setWrapText(true);
    help.setMinWidth(0);
    help.getStyleClass().add("hp-soft");
    FlowPane line =
        new FlowPane(8, 8, LaneForm.label("belong.device", device), device, ofRun, ofFolder, found);
    root = new VBox(8, title, line, help, takeAsReference);
    root.getStyleClass().add("hp-details");
    root.setId("belong");
    choices.shownProperty().addListener((property, before, now) -> show(now));
    show(choices.shownProperty().get());
  }

  private String typed() {
    String text = device.getEditor().getText();
    return text == null ? "" : text;
  }

  private void show(LineUpChoices.Shown now) {
    LaneForm.present(root, now.source() != null);
    boolean typing = device.getEditor().isFocused() && !typed().equals(filled);
    if (!device.getItems().equals(now.devices())) {
      device.getItems().setAll(now.devices());
    }
    if (!typing) {
      device.setValue(now.device());
      device.getEditor().setText(now.device());
    }
    filled = now.device();
    LaneForm.present(ofFolder, !now.folder().isEmpty());
    if (found.isFocused() && !now.isDeviceGiven()) {
      ofRun.requestFocus();
    }
    LaneForm.present(found, now.isDeviceGiven());
    // A button that goes away hands the keyboard on.
    if (takeAsReference.isFocused() && !now.canBeReference()) {
      ofRun.requestFocus();
    }
    LaneForm.present(takeAsReference, now.canBeReference());
  }

  Node root() {
    return root;
  }
}
