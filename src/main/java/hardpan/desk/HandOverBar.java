package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Notice;
import hardpan.desk.model.Texts;
import java.nio.file.Path;
import java.util.Locale;
import javafx.beans.binding.Bindings;
import javafx.beans.binding.StringBinding;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ContextMenu;
import javafx.scene.control.Label;
import javafx.scene.control.MenuItem;
import javafx.scene.control.ProgressBar;
import javafx.scene.control.TextField;
import javafx.scene.input.Clipboard;
import javafx.scene.input.ClipboardContent;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyCodeCombination;
import javafx.scene.input.KeyCombination;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;

/** The foot of the window: message, target and button, and progress while work goes on. */
final class HandOverBar {
  private static final KeyCombination COPY =
      new KeyCodeCombination(KeyCode.C, KeyCombination.SHORTCUT_DOWN);

  private final DeskModel model;
  private final PageOpener opener;

  /** When what the bar would write was written; kept, as a binding that nobody keeps is lost. */
  private final StringBinding written;

  private final Label message = new Label();
  private final Button openReport = new Button(Texts.of("open-report"));
  private final Button act = new Button();
  private final Button openFolder = new Button(Texts.of("open-folder"));
  private final HBox noticeLine = new HBox(message, act, openReport, openFolder);
  private final Label targetLabel = new Label(Texts.of("target.label"));
  private final TextField target = new TextField();
  private final Button handOver = new Button(Texts.of("handover"));
  private final Button cancel = new Button(Texts.of("cancel"));
  private final HBox targetLine;
  private final HBox workLine;
  private final VBox root;

  HandOverBar(DeskModel model, PageOpener opener) {
    this.model = model;
    this.opener = opener;
    this.written = model.writtenWords();
    message.setWrapText(true);
    message.setMinWidth(0);
    message.setId("message");
    message.getStyleClass().add("hp-message");
    message.setFocusTraversable(true);
    message.accessibleTextProperty().bind(message.textProperty());
    message.setOnMouseClicked(event -> message.requestFocus());
    message.addEventHandler(KeyEvent.KEY_PRESSED, this::keyed);
    MenuItem copy = new MenuItem(Texts.of("message.copy"));
    copy.setOnAction(event -> copyMessage());
    message.setContextMenu(new ContextMenu(copy));
    HBox.setHgrow(message, Priority.ALWAYS);
    message.setMaxWidth(Double.MAX_VALUE);
    openReport.setAccessibleText(Texts.of("open-report.spoken"));
    openReport.setMinWidth(Region.USE_PREF_SIZE);
    openReport.setId("open-report");
    openReport.setOnAction(event -> openPage());
    openFolder.setAccessibleText(Texts.of("open-folder.spoken"));
    openFolder.setMinWidth(Region.USE_PREF_SIZE);
    openFolder.setId("open-folder");
    openFolder.setOnAction(event -> openFolder());
    act.setMinWidth(Region.USE_PREF_SIZE);
    act.setId("notice-action");
    act.disableProperty().bind(model.workingProperty());
    act.setOnAction(event -> act());
    noticeLine.getStyleClass().add("hp-line");
    targetLine = targetLine();
    workLine = workLine();
    Label gone = new Label(Texts.of("handover.gone"), Marks.node(Mark.WARNING));
    gone.setId("handover-gone");
    gone.setWrapText(true);
    // Where a message offers to read again, it says the same.
    gone.visibleProperty()
        .bind(
            model
                .goneProperty()
                .and(targetLine.visibleProperty())
                .and(
                    Bindings.createBooleanBinding(
                        () -> !isReadAgainOffered(), model.noticeProperty())));
    gone.managedProperty().bind(gone.visibleProperty());
    Label prospect = new Label();
    prospect.setId("prospect");
    prospect.setWrapText(true);
    prospect.setMinHeight(Region.USE_PREF_SIZE);
    prospect
        .visibleProperty()
        .bind(targetLine.visibleProperty().and(prospect.textProperty().isNotEmpty()));
    prospect.managedProperty().bind(prospect.visibleProperty());
    prospect
        .textProperty()
        .bind(
            Bindings.createStringBinding(
                () -> written.get().isEmpty() ? model.lanes().prospect() : written.get(),
                model.lanes().rowsProperty(),
                written));
    written.addListener((property, before, now) -> again(!now.isEmpty()));
    root = new VBox(noticeLine, prospect, targetLine, gone, workLine);
    root.getStyleClass().add("hp-foot");
    model.noticeProperty().addListener((property, before, now) -> show(now));
    model.workingProperty().addListener((property, before, now) -> arrange());
    model.shootProperty().addListener((property, before, now) -> arrange());
    show(model.noticeProperty().get());
    arrange();
  }

  private boolean isReadAgainOffered() {
    Notice notice = model.noticeProperty().get();
    return notice != null && notice.action() == Notice.Action.READ_AGAIN;
  }

  /** What was done already is no longer the first thing to do. */
  private void again(boolean isWritten) {
    handOver.setText(Texts.of(isWritten ? "handover.again" : "handover"));
    handOver.getStyleClass().removeAll("hp-main");
    if (!isWritten) {
      handOver.getStyleClass().add("hp-main");
    }
  }

  private HBox targetLine() {
    targetLabel.setMnemonicParsing(true);
    targetLabel.setLabelFor(target);
    targetLabel.setMinWidth(Region.USE_PREF_SIZE);
    target.setAccessibleText(Texts.of("target.spoken"));
    target.setId("target");
    target.textProperty().bindBidirectional(model.targetProperty());
    target.setOnAction(event -> model.handOver());
    HBox.setHgrow(target, Priority.ALWAYS);
    Button choose = new Button(Texts.of("target.choose"));
    choose.setAccessibleText(Texts.of("target.choose.spoken"));
    choose.setMinWidth(Region.USE_PREF_SIZE);
    choose.setId("choose-target");
    choose.setOnAction(event -> model.chooseTarget());
    handOver.getStyleClass().add("hp-main");
    handOver.setAccessibleText(Texts.of("handover.spoken"));
    handOver.setMinWidth(Region.USE_PREF_SIZE);
    handOver.setId("handover");
    handOver.disableProperty().bind(model.goneProperty());
    handOver.setOnAction(event -> model.handOver());
    HBox line = new HBox(targetLabel, target, choose, handOver);
    line.getStyleClass().add("hp-line");
    return line;
  }

  private HBox workLine() {
    Label stage = new Label();
    stage.textProperty().bind(model.stageProperty());
    stage.setMinWidth(Region.USE_PREF_SIZE);
    stage.setId("stage");
    ProgressBar bar = new ProgressBar();
    bar.progressProperty().bind(model.progressProperty());
    bar.setMaxWidth(Double.MAX_VALUE);
    bar.setAccessibleText(Texts.of("progress.spoken"));
    bar.setId("progress");
    HBox.setHgrow(bar, Priority.ALWAYS);
    cancel.setAccessibleText(Texts.of("cancel.spoken"));
    cancel.setMinWidth(Region.USE_PREF_SIZE);
    cancel.setCancelButton(true);
    cancel.setId("cancel");
    cancel.setOnAction(event -> model.cancel());
    Label left = new Label();
    left.textProperty().bind(model.timeLeftProperty());
    left.setMinWidth(Region.USE_PREF_SIZE);
    left.setId("time-left");
    HBox line = new HBox(stage, bar, left, cancel);
    line.getStyleClass().add("hp-line");
    return line;
  }

  private void openPage() {
    Notice notice = model.noticeProperty().get();
    Path page = notice == null ? null : notice.page();
    if (page != null) {
      opener.open(page);
    }
  }

  private void openFolder() {
    Notice notice = model.noticeProperty().get();
    Path page = notice == null ? null : notice.page();
    Path parent = page == null ? null : page.getParent();
    if (parent != null) {
      opener.open(parent);
    }
  }

  private void keyed(KeyEvent event) {
    if (COPY.match(event)) {
      copyMessage();
      event.consume();
    }
  }

  private void copyMessage() {
    ClipboardContent content = new ClipboardContent();
    content.putString(message.getText());
    Clipboard.getSystemClipboard().setContent(content);
  }

  private void act() {
    Notice notice = model.noticeProperty().get();
    Notice.Action action = notice == null ? null : notice.action();
    if (action != null) {
      model.act(action);
    }
  }

  private void show(@Nullable Notice notice) {
    present(noticeLine, notice != null);
    if (notice == null) {
      return;
    }
    message.setText(notice.text());
    message.setGraphic(Marks.node(notice.mark()));
    Notice.Action action = notice.action();
    present(act, action != null);
    if (action != null) {
      String key = "act." + action.name().toLowerCase(Locale.ROOT).replace('_', '-');
      act.setText(Texts.of(key));
      act.setAccessibleText(Texts.of(key + ".spoken"));
    }
    boolean page = notice.page() != null;
    present(openReport, page);
    present(openFolder, page);
    if (root.isFocusWithin() && page) {
      openReport.requestFocus();
    } else if (root.isFocusWithin() && notice.mark() == Mark.FAULT) {
      message.requestFocus();
    }
  }

  /**
   * The keyboard follows the work that was started here: to Cancel while it runs, back to the
   * button after it. It stays with whoever is at work elsewhere, as a line-up follows every
   * decision.
   */
  private void arrange() {
    boolean working = model.workingProperty().get();
    boolean hadFocus = cancel.isFocused();
    boolean startedHere = targetLine.isFocusWithin() || model.shootProperty().get() == null;
    present(workLine, working);
    present(targetLine, !working && model.shootProperty().get() != null);
    if (working && startedHere) {
      cancel.requestFocus();
    } else if (hadFocus && model.shootProperty().get() != null) {
      handOver.requestFocus();
    }
  }

  private static void present(Node node, boolean present) {
    node.setVisible(present);
    node.setManaged(present);
  }

  Node root() {
    return root;
  }
}
