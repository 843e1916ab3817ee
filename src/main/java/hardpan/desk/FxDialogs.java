package hardpan.desk;

import hardpan.desk.model.Dialogs;
import hardpan.desk.model.Texts;
import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import javafx.scene.control.Alert;
import javafx.scene.control.Button;
import javafx.scene.control.ButtonBar.ButtonData;
import javafx.scene.control.ButtonType;
import javafx.scene.layout.Region;
import javafx.stage.DirectoryChooser;
import javafx.stage.FileChooser;
import javafx.stage.Stage;
import org.jspecify.annotations.Nullable;

/** The real dialogs. */
final class FxDialogs implements Dialogs {
  private final Stage owner;
  private @Nullable DeskWindow look;
  private @Nullable File lastFolder;

  FxDialogs(Stage owner) {
    this.owner = owner;
  }

  /** Dialogs are windows of their own and take the colours of this one. */
  void dressAs(DeskWindow window) {
    look = window;
  }

  @Override
  public Optional<Path> chooseFolder(String title, @Nullable Path near) {
    DirectoryChooser chooser = new DirectoryChooser();
    chooser.setTitle(title);
    if (near != null && Files.isDirectory(near)) {
      chooser.setInitialDirectory(near.toFile());
    } else if (lastFolder != null && lastFolder.isDirectory()) {
      chooser.setInitialDirectory(lastFolder);
    }
    File chosen = chooser.showDialog(owner);
    if (chosen == null) {
      return Optional.empty();
    }
    lastFolder = chosen.getParentFile();
    return Optional.of(chosen.toPath());
  }

  @Override
  public Optional<Path> chooseSavedShoot(String title) {
    FileChooser chooser = new FileChooser();
    chooser.setTitle(title);
    chooser
        .getExtensionFilters()
        .setAll(new FileChooser.ExtensionFilter(Texts.of("choose.saved.kind"), "*.hardpan"));
    if (lastFolder != null && lastFolder.isDirectory()) {
      chooser.setInitialDirectory(lastFolder);
    }
    File chosen = chooser.showOpenDialog(owner);
    if (chosen == null) {
      return Optional.empty();
    }
    lastFolder = chosen.getParentFile();
    return Optional.of(chosen.toPath());
  }

  @Override
  public boolean confirm(String question, String yes, String no) {
    ButtonType goAhead = new ButtonType(yes, ButtonData.OTHER);
    ButtonType stay = new ButtonType(no, ButtonData.CANCEL_CLOSE);
    Alert alert = new Alert(Alert.AlertType.NONE, question, goAhead, stay);
    alert.initOwner(owner);
    alert.setTitle(Texts.of("window.title"));
    if (look != null) {
      look.theme().dress(alert.getDialogPane());
    }
    // Enter must not be what stops the work or overwrites something.
    if (alert.getDialogPane().lookupButton(stay) instanceof Button button) {
      button.setDefaultButton(true);
      alert.setOnShown(event -> button.requestFocus());
    }
    alert.getDialogPane().setMinHeight(Region.USE_PREF_SIZE);
    return alert.showAndWait().filter(answer -> answer == goAhead).isPresent();
  }
}
