package hardpan.desk;

import hardpan.desk.clock.TrayView;
import hardpan.desk.model.DeskModel;
import hardpan.desk.model.DetailLine;
import hardpan.desk.model.LineUpChoices;
import hardpan.desk.model.Listen;
import hardpan.desk.model.Pictures;
import hardpan.desk.model.PlaceByHand;
import hardpan.desk.model.ShownShoot;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.listen.MachineSound;
import hardpan.listen.SoundDevice;
import hardpan.shoot.CloseLook;
import java.util.ArrayList;
import java.util.List;
import javafx.application.Platform;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.SimpleBooleanProperty;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.stage.Window;
import org.jspecify.annotations.Nullable;

/**
 * The chosen source closely: what was found, its place, and listening to it below both. Without a
 * choice, what to look at first.
 */
final class DetailsView implements TrayView.Acts {
  private static final int PLACE_PAGE = 2;

  private final DeskModel model;
  private final PlaceByHand place;
  private final Listen listen;
  private final DetailNodes nodes;
  private final Label title = new Label();
  private final VBox lines = new VBox();
  private final ScrollPane scroll = new ScrollPane(lines);
  private final ScrollPane placeScroll = new ScrollPane();
  private final ToggleGroup pages = new ToggleGroup();
  private final List<Node> contents = new ArrayList<>();
  private final HBox tabs = new HBox(6);
  private final BooleanProperty large = new SimpleBooleanProperty();
  private final VBox root;
  private List<DetailLine> shownLines = List.of();
  private @Nullable SourceRow shownRow;

  DetailsView(DeskModel model, Theme theme) {
    this(model, theme, new MachineSound());
  }

  DetailsView(DeskModel model, Theme theme, SoundDevice device) {
    this.model = model;
    this.place = new PlaceByHand(model, DeskModel.Starter.THREADS, Platform::runLater);
    this.listen = new Listen(model, place, device, Platform::runLater);
    this.nodes = new DetailNodes(listen);
    title.setId("details-title");
    title.getStyleClass().add("hp-title");
    title.setLabelFor(scroll);
    title.setMinWidth(60);
    lines.getStyleClass().add("hp-details");
    scroll.setId("details");
    scroll.setAccessibleText(Texts.of("details.spoken"));
    page("details-found", "details.page.found", scroll);
    Pictures pictures =
        new Pictures(model, DeskModel.Starter.THREADS, Platform::runLater, CloseLook::of);
    ScrollPane pictureScroll = new ScrollPane(new PicturesView(pictures, theme).root());
    pictureScroll.setId("picture-scroll");
    pictureScroll.setAccessibleText(Texts.of("pictures.spoken"));
    page("details-pictures", "details.page.pictures", pictureScroll);
    pictures.wantedProperty().bind(pictureScroll.visibleProperty());
    PlaceView placeView = new PlaceView(place, listen, model.cursor());
    placeScroll.setContent(
        new VBox(placeView.root(), new BelongingView(new LineUpChoices(model)).root()));
    placeScroll.setId("place-scroll");
    placeScroll.setAccessibleText(Texts.of("place.spoken"));
    VBox placePage = new VBox(4, placeView.head(), placeScroll);
    VBox.setVgrow(placeScroll, Priority.ALWAYS);
    page("details-place", "details.page.place", placeScroll, placePage);
    Region gap = new Region();
    HBox.setHgrow(gap, Priority.ALWAYS);
    ToggleButton larger = new ToggleButton(Texts.of("details.larger"));
    larger.setId("details-larger");
    larger.setAccessibleText(Texts.of("details.larger.spoken"));
    larger.setMinWidth(Region.USE_PREF_SIZE);
    larger.selectedProperty().bindBidirectional(large);
    HBox head = new HBox(title, gap, tabs, larger);
    head.getStyleClass().add("hp-line");
    StackPane stack = new StackPane();
    stack.getChildren().addAll(contents);
    VBox.setVgrow(stack, Priority.ALWAYS);
    ListenBar bar = new ListenBar(listen, place);
    root = new VBox(head, stack, bar.root());
    root.getStyleClass().add("hp-pane");
    model.cursor().secondsProperty().addListener((property, before, now) -> bar.cursorMoved());
    model.shootProperty().addListener((property, before, now) -> show());
    model.chosenProperty().addListener((property, before, now) -> show());
    root.sceneProperty()
        .flatMap(Scene::windowProperty)
        .flatMap(Window::showingProperty)
        .addListener(
            (property, before, now) -> {
              if (Boolean.TRUE.equals(before) && !Boolean.TRUE.equals(now)) {
                listen.close();
              }
            });
    show();
  }

  private void page(String id, String key, ScrollPane content) {
    page(id, key, content, content);
  }

  /** A page of which only a part scrolls. */
  private void page(String id, String key, ScrollPane content, Node whole) {
    content.setFitToWidth(true);
    content.setFocusTraversable(true);
    ToggleButton tab = new ToggleButton(Texts.of(key));
    tab.setId(id);
    tab.setAccessibleText(Texts.of(key + ".spoken"));
    tab.setMinWidth(Region.USE_PREF_SIZE);
    tab.setToggleGroup(pages);
    boolean first = contents.isEmpty();
    tab.setSelected(first);
    whole.setVisible(first);
    // Pressed again it stays.
    tab.setOnAction(event -> tab.setSelected(true));
    tab.selectedProperty().addListener((property, before, now) -> whole.setVisible(now));
    contents.add(whole);
    tabs.getChildren().add(tab);
  }

  private void show() {
    ShownShoot shown = model.shootProperty().get();
    SourceRow row = model.chosenProperty().get();
    List<DetailLine> now = shown == null ? List.of() : shown.details(row);
    boolean same =
        row == null ? shownRow == null : shownRow != null && row.path().equals(shownRow.path());
    // What says the same stays as it is, with all that was opened in it.
    if (!same) {
      lines.getChildren().setAll(nodes.nodes(now, List.of(), List.of()));
    } else if (!now.equals(shownLines)) {
      Node focused = scroll.getScene() == null ? null : scroll.getScene().getFocusOwner();
      boolean inside = focused != null && isIn(lines, focused);
      lines.getChildren().setAll(nodes.nodes(now, lines.getChildren(), shownLines));
      if (inside && focused != null) {
        (isIn(lines, focused) ? focused : scroll).requestFocus();
      }
    }
    shownLines = now;
    if (!same) {
      scroll.setVvalue(0);
    }
    shownRow = row;
    title.setText(row == null ? Texts.of("details.title") : row.fileName());
    boolean chosen = row != null;
    tabs.setVisible(chosen);
    tabs.setManaged(chosen);
    if (!chosen) {
      pages.selectToggle(pages.getToggles().get(0));
    }
  }

  private static boolean isIn(Node room, Node node) {
    for (Node one = node; one != null; one = one.getParent()) {
      if (one == room) {
        return true;
      }
    }
    return false;
  }

  @Override
  public void placeByHand(SourceRow row) {
    model.chosenProperty().set(row);
    pages.getToggles().get(PLACE_PAGE).setSelected(true);
    placeScroll.requestFocus();
  }

  @Override
  public void leaveOut(SourceRow row) {
    model.chosenProperty().set(row);
    place.leaveOut();
  }

  /** Whether the person wants more room for it. */
  BooleanProperty largeProperty() {
    return large;
  }

  Parent root() {
    return root;
  }
}
