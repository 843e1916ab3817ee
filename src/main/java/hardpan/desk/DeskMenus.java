package hardpan.desk;

import hardpan.desk.model.DeskModel;
import hardpan.desk.model.Edits;
import hardpan.desk.model.Texts;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Wishes;
import java.util.List;
import javafx.beans.value.ObservableValue;
import javafx.scene.control.CheckMenuItem;
import javafx.scene.control.Menu;
import javafx.scene.control.MenuBar;
import javafx.scene.control.MenuItem;
import javafx.scene.control.SeparatorMenuItem;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyCodeCombination;
import javafx.scene.input.KeyCombination;
import javafx.scene.input.KeyCombination.Modifier;
import org.jspecify.annotations.Nullable;

/** Everything the window can do, by name and key. */
final class DeskMenus {
  private final DeskModel model;
  private final MenuBar bar = new MenuBar();

  /** What only the window itself can do. */
  interface Pages {
    /** Shows one of the pages. */
    void show(Page page);

    /** Shows the keys, or hides them. */
    void toggleKeys();

    /** Shows the sums for a pad. */
    void showPad();

    /** Asks to close the window. */
    void close();
  }

  /** What is shown of a shoot. */
  enum Page {
    /** The picture, the sources and what was found. */
    SOURCES,
    /** The lanes to be written. */
    LANES
  }

  DeskMenus(DeskModel model, Theme theme, Pages pages) {
    this.model = model;
    bar.getMenus().addAll(shoot(pages), edit(), view(theme, pages), help(pages));
    bar.getStyleClass().add("hp-menus");
    bar.setAccessibleText(Texts.of("menu.spoken"));
  }

  private Menu shoot(Pages pages) {
    MenuItem open = item("menu.open", KeyCode.O, KeyCombination.SHORTCUT_DOWN, model::chooseShoot);
    MenuItem saved = new MenuItem(Texts.of("menu.saved"));
    saved.setOnAction(event -> model.chooseSavedShoot());
    saved.setId("open-saved");
    Menu recent = new Menu(Texts.of("menu.recent"));
    model.recentProperty().addListener((property, before, now) -> fill(recent, now));
    fill(recent, model.recentProperty().get());
    MenuItem again = item("menu.again", KeyCode.F5, null, model::readAgain);
    MenuItem write =
        item("menu.handover", KeyCode.H, KeyCombination.SHORTCUT_DOWN, model::handOver);
    MenuItem check = new MenuItem(Texts.of("menu.check"));
    check.setOnAction(event -> model.checkHandOver());
    check.setId("check-handover");
    MenuItem close = item("menu.close", KeyCode.W, KeyCombination.SHORTCUT_DOWN, pages::close);
    write.disableProperty().bind(model.workingProperty().or(model.goneProperty()));
    for (MenuItem item : List.of(open, saved, recent, again, check)) {
      item.disableProperty().bind(model.workingProperty());
    }
    Menu menu = new Menu(Texts.of("menu.shoot"));
    menu.getItems()
        .addAll(
            open,
            saved,
            recent,
            again,
            new SeparatorMenuItem(),
            write,
            check,
            new SeparatorMenuItem(),
            close);
    return menu;
  }

  private void fill(Menu menu, List<SavedShoots.Recent> shoots) {
    menu.getItems().clear();
    for (SavedShoots.Recent shoot : shoots) {
      MenuItem item = new MenuItem(plain(RecentWords.of(shoot)));
      item.setOnAction(event -> model.open(shoot.roots()));
      menu.getItems().add(item);
    }
    menu.setVisible(!shoots.isEmpty());
  }

  private Menu edit() {
    Edits edits = model.edits();
    MenuItem undo = item("menu.undo", KeyCode.Z, KeyCombination.SHORTCUT_DOWN, edits::undo);
    MenuItem redo =
        item(
            "menu.redo",
            new KeyCodeCombination(
                KeyCode.Z, KeyCombination.SHORTCUT_DOWN, KeyCombination.SHIFT_DOWN),
            edits::redo);
    tell(undo, "menu.undo", edits.undoWordsProperty());
    tell(redo, "menu.redo", edits.redoWordsProperty());
    undo.setId("undo");
    redo.setId("redo");
    Menu menu = new Menu(Texts.of("menu.edit"));
    MenuItem forget = new MenuItem(Texts.of("menu.forget"));
    forget.setOnAction(event -> edits.change(Wishes.NONE, Texts.of("edit.forget")));
    forget.setId("forget-decisions");
    edits
        .wishesProperty()
        .addListener((property, before, now) -> forget.setDisable(now.equals(Wishes.NONE)));
    forget.setDisable(edits.wishesProperty().get().equals(Wishes.NONE));
    menu.getItems().addAll(undo, redo, new SeparatorMenuItem(), forget);
    return menu;
  }

  private static void tell(
      MenuItem item, String key, ObservableValue<@Nullable String> wordsProperty) {
    Runnable renew =
        () -> {
          String words = wordsProperty.getValue();
          item.setDisable(words == null);
          item.setText(words == null ? Texts.of(key) : Texts.of(key + ".what", plain(words)));
        };
    wordsProperty.addListener((property, before, now) -> renew.run());
    renew.run();
  }

  /** An underscore in a name is no mnemonic. */
  private static String plain(String words) {
    return words.replace("_", "__");
  }

  private Menu view(Theme theme, Pages pages) {
    MenuItem sources =
        item(
            "menu.sources",
            KeyCode.DIGIT1,
            KeyCombination.SHORTCUT_DOWN,
            () -> pages.show(Page.SOURCES));
    MenuItem lanes =
        item(
            "menu.lanes",
            KeyCode.DIGIT2,
            KeyCombination.SHORTCUT_DOWN,
            () -> pages.show(Page.LANES));
    CheckMenuItem dark = new CheckMenuItem(Texts.of("menu.dark"));
    dark.selectedProperty().bindBidirectional(theme.darkProperty());
    for (MenuItem item : List.of(sources, lanes)) {
      item.disableProperty().bind(model.shootProperty().isNull());
    }
    Menu menu = new Menu(Texts.of("menu.view"));
    menu.getItems().addAll(sources, lanes, new SeparatorMenuItem(), dark);
    return menu;
  }

  private static Menu help(Pages pages) {
    MenuItem keys = item("menu.keys", KeyCode.F1, null, pages::toggleKeys);
    Menu menu = new Menu(Texts.of("menu.help"));
    MenuItem pad = new MenuItem(Texts.of("menu.pad"));
    pad.setOnAction(event -> pages.showPad());
    pad.setId("show-pad");
    menu.getItems().addAll(keys, pad);
    return menu;
  }

  private static MenuItem item(
      String key, KeyCode code, @Nullable Modifier modifier, Runnable action) {
    return item(
        key,
        modifier == null ? new KeyCodeCombination(code) : new KeyCodeCombination(code, modifier),
        action);
  }

  private static MenuItem item(String key, KeyCombination keys, Runnable action) {
    MenuItem item = new MenuItem(Texts.of(key));
    item.setAccelerator(keys);
    item.setOnAction(event -> action.run());
    return item;
  }

  MenuBar bar() {
    return bar;
  }
}
