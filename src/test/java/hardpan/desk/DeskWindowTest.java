package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Notice;
import hardpan.desk.model.SourceRow;
import hardpan.media.ReaderChoice;
import hardpan.report.LaneReport;
import hardpan.report.Report;
import hardpan.report.ReportJson;
import hardpan.shoot.PlaceBy;
import hardpan.shoot.ShootFile;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.ChoiceBox;
import javafx.scene.control.Label;
import javafx.scene.control.ListView;
import javafx.scene.control.MenuBar;
import javafx.scene.control.MenuItem;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TableView;
import javafx.scene.input.KeyCode;
import javafx.stage.WindowEvent;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/** The window on the toolkit, without a screen. */
@ExtendWith(TextLayoutPresent.class)
class DeskWindowTest {
  private Path folder;
  private UiDriver ui;

  @BeforeEach
  void openWindow(@TempDir Path temporary) throws Exception {
    folder = temporary;
    ui = new UiDriver(temporary.resolve("data"));
  }

  @AfterEach
  void closeWindow() throws Exception {
    ui.close();
  }

  private Path shoot() throws Exception {
    return SmallShoot.write(Files.createDirectory(folder.resolve("brandal")));
  }

  private static List<Node> all(Node node) {
    List<Node> nodes = new ArrayList<>();
    nodes.add(node);
    if (node instanceof Parent parent) {
      parent.getChildrenUnmodifiable().forEach(child -> nodes.addAll(all(child)));
    }
    return nodes;
  }

  private String detailsText() throws Exception {
    ScrollPane details = ui.find("details", ScrollPane.class);
    return ui.onUi(
        () -> {
          StringBuilder text = new StringBuilder();
          for (Node node : all(details.getContent())) {
            if (node instanceof Label label) {
              text.append(label.getText()).append('\n');
            }
          }
          return text.toString();
        });
  }

  private void assertHandedOver(Path target) throws Exception {
    Report report = ReportJson.read(target.resolve("report.json"));
    assertEquals(
        Set.of("CAM-A/CLIP0001.MOV", "REC/hall.wav"),
        report.lanes().stream().map(LaneReport::source).collect(Collectors.toSet()));
    Set<String> files = new HashSet<>();
    try (Stream<Path> lanes = Files.list(target.resolve("lanes"))) {
      lanes.forEach(lane -> files.add("lanes/" + lane.getFileName()));
    }
    assertEquals(report.lanes().stream().map(LaneReport::file).collect(Collectors.toSet()), files);
    assertTrue(Files.exists(target.resolve("report.html")));
  }

  @Test
  void anEmptyWindowSaysWhatToDo() throws Exception {
    assertEquals("choose", ui.focused());
    assertTrue(ui.read("choose", Button.class, Button::isDefaultButton));
    assertFalse(ui.isShown("handover"));
    BufferedImage picture = ui.picture("empty");
    assertTrue(colours(picture) > 20, "only " + colours(picture) + " colours");
  }

  @Test
  void aShootIsReadShownAndHandedOver() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    assertEquals("brandal \u2013 Hardpan", ui.onUi(() -> ui.stage().getTitle()));
    ListView<?> sources = ui.find("sources", ListView.class);
    assertEquals(2, ui.onUi(() -> sources.getItems().size()));
    assertTrue(detailsText().startsWith("Look at first"), detailsText());

    ui.change(() -> sources.getSelectionModel().select(0));
    String details = detailsText();
    assertTrue(details.contains("Left and right are one signal with opposite polarity"), details);
    assertTrue(details.contains("Starts 8.000 s after the reference began"), details);
    String spoken = ui.onUi(() -> ui.stage().getScene().lookup("#clock").getAccessibleText());
    assertTrue(spoken.startsWith("Source 1, CLIP0001.MOV of CAM-A, from 0:08.0 to 0:28.0"), spoken);
    BufferedImage light = ui.picture("shoot-light");
    ui.click("dark");
    BufferedImage dark = ui.picture("shoot-dark");
    assertTrue(brightness(light) > 0.75, "light is " + brightness(light));
    assertTrue(brightness(dark) < 0.25, "dark is " + brightness(dark));

    ui.click("handover");
    ui.awaitNotice();
    Path target = folder.resolve("brandal-handover");
    assertHandedOver(target);
    Notice notice = ui.onUi(ui.model().noticeProperty()::get);
    assertNotNull(notice);
    assertEquals(target.resolve("report.html"), notice.page());
    assertTrue(notice.text().startsWith("Handed over 2 lanes. Take care: "), notice.text());
    assertTrue(notice.text().contains("polarity mended in 1"), notice.text());
    ui.click("open-report");
    ui.click("open-folder");
    assertEquals(List.of(target.resolve("report.html"), target), ui.opened);
    assertTrue(
        ui.text("prospect").matches("Written at [0-9]{2}:[0-9]{2}, nothing changed since\\."));
    assertEquals("_Hand over again", ui.text("handover"));
    Button again = ui.find("handover", Button.class);
    assertFalse(again.getStyleClass().contains("hp-main"));
    ui.change(() -> ui.model().targetProperty().set(folder.resolve("other").toString()));
    assertTrue(ui.text("prospect").startsWith("To be written: "), ui.text("prospect"));
    assertEquals("_Hand over", ui.text("handover"));
    assertTrue(again.getStyleClass().contains("hp-main"));
    ui.change(() -> ui.model().targetProperty().set(target.toString()));
    assertNotEquals(0, ui.picture("handed-over").getWidth());
  }

  @Test
  void theKeyboardAloneDoesTheWholeJob() throws Exception {
    ui.dialogs.folder = shoot();
    ui.press(KeyCode.ENTER);
    ui.awaitShoot();
    assertEquals("sources", ui.focused());
    ui.press(KeyCode.DOWN);
    assertTrue(detailsText().startsWith("CAM-A/CLIP0001.MOV"), detailsText());
    ui.tabTo("details");
    ui.tabTo("dark");
    ui.tabTo("clock");
    ui.press(KeyCode.UP);
    ui.press(KeyCode.ENTER);
    assertTrue(detailsText().startsWith("REC/hall.wav"), detailsText());
    ui.press(KeyCode.DOWN);
    ui.press(KeyCode.ENTER);
    assertTrue(detailsText().startsWith("CAM-A/CLIP0001.MOV"), detailsText());
    ui.tabTo("sources");
    ui.press(KeyCode.ESCAPE);
    assertTrue(detailsText().startsWith("Look at first"), detailsText());

    Path place = Files.createDirectory(folder.resolve("out"));
    ui.dialogs.folder = place;
    ui.tabTo("choose-target");
    ui.press(KeyCode.SPACE);
    assertEquals(place.resolve("brandal-handover").toString(), ui.text("target"));
    ui.tabTo("handover");
    ui.press(KeyCode.SPACE);
    ui.awaitNotice();
    assertHandedOver(place.resolve("brandal-handover"));
    assertEquals("open-report", ui.focused());
    ui.press(KeyCode.SPACE);
    assertEquals(1, ui.opened.size());
  }

  @Test
  void aLaneIsNamedWrittenSoAndTheShootIsThereAgain() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    ui.click("page-lanes");
    ui.picture("lanes-light");
    assertEquals(2, (int) ui.read("lanes", TableView.class, lanes -> lanes.getItems().size()));
    assertEquals("lanes", ui.focused());
    assertEquals(
        List.of("0:08.0 0:20.0", "0:00.0 0:40.0"),
        ui.onUi(
            () ->
                ui.model().lanes().rowsProperty().get().stream()
                    .map(row -> row.startWords() + " " + row.lengthWords())
                    .toList()));
    ui.click("lane-role-confirm");
    assertFalse(ui.isShown("lane-role-confirm"));
    assertEquals("lane-role", ui.focused());
    assertEquals("role console feed", ui.onUi(ui.model().edits().undoWordsProperty()::get));
    ui.press(KeyCode.CONTROL, KeyCode.Z);
    assertTrue(ui.isShown("lane-role-confirm"));
    ui.press(KeyCode.CONTROL, KeyCode.DIGIT2);
    ui.press(KeyCode.DOWN);
    ui.press(KeyCode.ENTER);
    assertEquals("lane-name", ui.focused());
    ui.type("Pulpit");
    ui.press(KeyCode.ENTER);
    assertEquals("lane name Pulpit", ui.onUi(ui.model().edits().undoWordsProperty()::get));
    ui.click("dark");
    ui.picture("lanes-dark");
    ui.press(KeyCode.F1);
    ui.picture("keys");
    assertTrue(ui.isShown("keys"));
    ui.press(KeyCode.ESCAPE);
    assertFalse(ui.isShown("keys"));
    ui.click("handover");
    ui.awaitNotice();
    assertTrue(Files.exists(folder.resolve("brandal-handover/lanes/REC_1_Pulpit.wav")));
    ui.close();

    ui = new UiDriver(folder.resolve("data"));
    String again = ui.read("recent-0", Button.class, Button::getAccessibleText);
    assertTrue(again.startsWith("Open again: brandal"));
    assertTrue(brightness(ui.picture("start-again")) < 0.25, "the colours were forgotten");
    ui.click("recent-0");
    ui.awaitShoot();
    assertFalse(ui.wasSeen("Reading"), "sources were read again: " + ui.stagesSeen());
    assertEquals(
        "REC_1_Pulpit.wav", ui.onUi(ui.model().lanes().rowsProperty()::get).get(1).fileWords());
    ui.press(KeyCode.CONTROL, KeyCode.DIGIT2);
    ui.picture("lanes-again");
  }

  @Test
  void aPlaceGivenByHandMovesTheClipInThePictureAndBack() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    assertEquals("placed at 0:08.000", clipPlace());
    Wishes pinned = Wishes.NONE.withPin(new Wishes.Pin("CAM-A/CLIP0001.MOV", 12));
    ui.change(() -> ui.model().edits().change(pinned, "place of CLIP0001.MOV"));
    ui.awaitShoot();
    assertEquals("put by hand at 0:12.000", clipPlace());
    ui.press(KeyCode.CONTROL, KeyCode.Z);
    ui.awaitShoot();
    assertEquals("placed at 0:08.000", clipPlace());
    ui.press(KeyCode.CONTROL, KeyCode.SHIFT, KeyCode.Z);
    ui.awaitShoot();
    assertEquals("put by hand at 0:12.000", clipPlace());
    List<String> stages = ui.stagesSeen();
    assertEquals(stages.indexOf("Reading"), stages.lastIndexOf("Reading"), stages.toString());
    ui.close();

    ui = new UiDriver(folder.resolve("data"));
    ui.click("recent-0");
    ui.awaitShoot();
    assertEquals("put by hand at 0:12.000", clipPlace());
  }

  @Test
  void aHandOverIsComparedWithItsChecksums() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    ui.click("handover");
    ui.awaitNotice();
    Path target = folder.resolve("brandal-handover");
    ui.dialogs.folder = target;
    check();
    String good = ui.text("message");
    ui.picture("checked");
    assertTrue(good.startsWith("Unchanged: ") && good.endsWith(" and 2 originals."), good);
    Path lane;
    try (Stream<Path> lanes = Files.list(target.resolve("lanes"))) {
      lane = lanes.sorted().findFirst().orElseThrow();
    }
    Files.write(lane, new byte[] {1}, StandardOpenOption.APPEND);
    check();
    String bad = ui.text("message");
    assertTrue(bad.startsWith("1 file is not as it was handed over: changed lanes/"), bad);
    assertEquals(target.resolve("report.html"), ui.onUi(ui.model().noticeProperty()::get).page());
    ui.dialogs.folder = folder.resolve("brandal");
    check();
    assertEquals(Mark.FAULT, ui.onUi(ui.model().noticeProperty()::get).mark());
  }

  private void check() throws Exception {
    ui.change(() -> ui.model().checkHandOver());
    ui.awaitNotice();
  }

  @Test
  void allDecisionsAreForgottenAndComeBack() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    MenuItem forget =
        ui.onUi(
            () ->
                ((MenuBar) ui.stage().getScene().lookup(".menu-bar"))
                    .getMenus().stream()
                        .flatMap(menu -> menu.getItems().stream())
                        .filter(item -> "forget-decisions".equals(item.getId()))
                        .findFirst()
                        .orElseThrow());
    assertTrue(ui.onUi(forget::isDisable));
    Wishes pinned = Wishes.NONE.withPin(new Wishes.Pin("CAM-A/CLIP0001.MOV", 12));
    ui.change(() -> ui.model().edits().change(pinned, "a place"));
    ui.awaitShoot();
    ui.change(
        () -> {
          forget.fire();
        });
    ui.awaitShoot();
    assertEquals("placed at 0:08.000", clipPlace());
    assertTrue(ui.onUi(forget::isDisable));
    ui.press(KeyCode.CONTROL, KeyCode.Z);
    ui.awaitShoot();
    assertEquals("put by hand at 0:12.000", clipPlace());
    assertTrue(
        detailsText().contains("Put by hand at 0:12.000; its sound fits at 0:08.000."),
        detailsText());
    assertTrue(ui.text("prospect").contains("; 1 put by hand;"), ui.text("prospect"));
    assertEquals(Mark.BY_HAND, ui.onUi(() -> clip().mark()));
    assertNotEquals(Mark.PLACED.tone(), Mark.BY_HAND.tone());
    ui.picture("menus-and-all");
  }

  @Test
  void aSavedShootIsOpenedByItselfAndFromTheListAgain() throws Exception {
    Path media = shoot();
    Path saved = folder.resolve("brandal.hardpan");
    try (ShootFile made = ShootFile.create(saved)) {
      assertTrue(made.trouble().isEmpty());
    }
    ui.dialogs.folder = saved;
    ui.change(() -> ui.model().chooseSavedShoot());
    ui.awaitNotice();
    String refused = ui.text("message");
    assertTrue(refused.contains("does not name its folders"), refused);
    ui.picture("saved-refused");
    try (ShootSession session = ShootSession.open(List.of(media), saved, ReaderChoice.BEST)) {
      session.read(Wishes.NONE, Monitor.SILENT);
    }
    ui.change(() -> ui.model().open(List.of(saved)));
    ui.awaitShoot();
    assertFalse(ui.wasSeen("Reading"), "sources were read again: " + ui.stagesSeen());
    assertEquals("placed at 0:08.000", clipPlace());
    assertEquals(folder.resolve("brandal-handover").toString(), ui.text("target"));
    ui.close();

    ui = new UiDriver(folder.resolve("data"));
    ui.click("recent-0");
    ui.awaitShoot();
    assertEquals("placed at 0:08.000", clipPlace());
    assertFalse(ui.wasSeen("Reading"), "sources were read again: " + ui.stagesSeen());
  }

  @Test
  void whatClipsFitByIsDecidedTakenBackAndKept() throws Exception {
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    ui.click("page-lanes");
    ui.tabTo("place-by");
    assertEquals(PlaceBy.SOUND, ui.onUi(() -> placeBy().getValue()));
    String bySound = placeByHelp();
    assertTrue(bySound.contains("where its sound arrives"), bySound);
    ui.change(() -> placeBy().setValue(PlaceBy.PICTURE));
    ui.awaitShoot();
    assertTrue(placeByHelp().contains("in the air"), placeByHelp());
    assertEquals("fit by picture", ui.onUi(ui.model().edits().undoWordsProperty()::get));
    String why = ui.onUi(() -> ui.model().shootProperty().get().details(clip()).toString());
    assertTrue(why.contains("stays placed by its sound"), why);
    ui.picture("fit-by-light");
    ui.press(KeyCode.CONTROL, KeyCode.Z);
    ui.awaitShoot();
    assertEquals(PlaceBy.SOUND, ui.onUi(() -> placeBy().getValue()));
    ui.press(KeyCode.CONTROL, KeyCode.Y);
    ui.awaitShoot();
    ui.close();

    ui = new UiDriver(folder.resolve("data"));
    ui.click("recent-0");
    ui.awaitShoot();
    ui.click("page-lanes");
    assertEquals(PlaceBy.PICTURE, ui.onUi(() -> placeBy().getValue()));
    assertFalse(ui.wasSeen("Reading"), "sources were read again: " + ui.stagesSeen());
    ui.click("dark");
    ui.picture("fit-by-dark");
  }

  @SuppressWarnings("unchecked")
  private ChoiceBox<PlaceBy> placeBy() {
    return (ChoiceBox<PlaceBy>) ui.stage().getScene().lookup("#place-by");
  }

  private String placeByHelp() throws Exception {
    return ui.onUi(() -> ((Label) ui.stage().getScene().lookup("#place-by-help")).getText());
  }

  private SourceRow clip() {
    return ui.model().shootProperty().get().rows().get(0);
  }

  private String clipPlace() throws Exception {
    return ui.onUi(() -> ui.model().shootProperty().get().rows().get(0).placeWords());
  }

  @Test
  void aMissingFolderIsSaidAndTheShootIsShownAllTheSame() throws Exception {
    Path media = shoot();
    ui.dialogs.folder = media;
    ui.click("choose");
    ui.awaitShoot();
    ui.close();
    Files.move(media, folder.resolve("unplugged"));

    ui = new UiDriver(folder.resolve("data"));
    String again = ui.read("recent-0", Button.class, Button::getAccessibleText);
    assertTrue(again.endsWith("The folder is not there now."));
    ui.picture("start-missing");
    ui.click("recent-0");
    ui.awaitNotice();
    String message = ui.text("message");
    assertTrue(message.startsWith("The folder is not connected: "), message);
    assertEquals(2, (int) ui.read("sources", ListView.class, list -> list.getItems().size()));
    assertFalse(ui.isShown("handover-gone"), "said twice");
    ui.picture("missing");
    Files.move(folder.resolve("unplugged"), media);
    ui.click("notice-action");
    ui.awaitShoot();
    assertEquals(null, ui.onUi(ui.model().noticeProperty()::get));
  }

  @Test
  void everyControlCanBeListenedTo() throws Exception {
    assertNothingIsSilent();
    ui.dialogs.folder = shoot();
    ui.click("choose");
    ui.awaitShoot();
    assertNothingIsSilent();
    ui.click("page-lanes");
    ui.press(KeyCode.DOWN);
    assertNothingIsSilent();
    ui.press(KeyCode.F1);
    assertNothingIsSilent();
  }

  private static boolean isSeen(Node node) {
    for (Node now = node; now != null; now = now.getParent()) {
      if (!now.isVisible()) {
        return false;
      }
    }
    return true;
  }

  private void assertNothingIsSilent() throws Exception {
    List<String> silent =
        ui.onUi(
            () ->
                all(ui.stage().getScene().getRoot()).stream()
                    .filter(Node::isFocusTraversable)
                    .filter(DeskWindowTest::isSeen)
                    .filter(node -> node instanceof Button || node.getId() != null)
                    .filter(node -> String.valueOf(node.getAccessibleText()).length() < 8)
                    .map(Node::toString)
                    .toList());
    assertEquals(List.of(), silent);
  }

  @Test
  void aFolderWithoutMediaIsRefusedInWords() throws Exception {
    ui.dialogs.folder = Files.createDirectory(folder.resolve("nothing"));
    ui.click("choose");
    ui.awaitNotice();
    assertTrue(ui.text("message").startsWith("No clips or recordings were found"));
    assertEquals("choose", ui.focused());
  }

  @Test
  void closingTheWindowAtRestAsksNothing() throws Exception {
    ui.change(
        () -> ui.stage().fireEvent(new WindowEvent(ui.stage(), WindowEvent.WINDOW_CLOSE_REQUEST)));
    assertFalse(ui.onUi(ui.stage()::isShowing));
    assertTrue(ui.dialogs.asked.isEmpty());
  }

  private static int colours(BufferedImage image) {
    Set<Integer> colours = new HashSet<>();
    for (int y = 0; y < image.getHeight(); y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        colours.add(image.getRGB(x, y));
      }
    }
    return colours.size();
  }

  /** Mean of all colour parts, 0 black to 1 white. */
  private static double brightness(BufferedImage image) {
    long sum = 0;
    for (int y = 0; y < image.getHeight(); y++) {
      for (int x = 0; x < image.getWidth(); x++) {
        int rgb = image.getRGB(x, y);
        sum += (rgb >> 16 & 255) + (rgb >> 8 & 255) + (rgb & 255);
      }
    }
    return sum / (765.0 * image.getWidth() * image.getHeight());
  }
}
