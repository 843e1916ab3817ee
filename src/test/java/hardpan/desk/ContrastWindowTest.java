package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import javafx.css.PseudoClass;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.control.Button;
import javafx.scene.control.Control;
import javafx.scene.control.ListView;
import javafx.scene.control.Menu;
import javafx.scene.control.MenuBar;
import javafx.scene.input.KeyCode;
import javafx.scene.layout.BackgroundFill;
import javafx.scene.layout.BorderStroke;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.scene.paint.Paint;
import javafx.scene.shape.SVGPath;
import javafx.scene.shape.Shape;
import javafx.scene.text.Text;
import javafx.stage.Window;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every text and every mark of the real window against what lies behind it, in both themes: 4.5 to
 * 1 for text (WCAG 2.2, success criterion 1.4.3), 3 to 1 for marks and for the outlines of controls
 * (1.4.11), and 3 to 1 for the text of what cannot be used now, of which the standard asks nothing.
 */
@ExtendWith(TextLayoutPresent.class)
class ContrastWindowTest {
  private static final List<String> OUTLINED =
      List.of("button", "text-field", "combo-box", "choice-box", "box", "radio");

  private static final PseudoClass DISABLED = PseudoClass.getPseudoClass("disabled");

  private final Set<String> weak = new TreeSet<>();
  private final Set<String> seen = new TreeSet<>();
  private Path folder;
  private UiDriver ui;
  private int disabled;

  @BeforeEach
  void openWindow(@TempDir Path temporary) throws Exception {
    folder = temporary;
    ui = new UiDriver(temporary.resolve("data"));
  }

  @AfterEach
  void closeWindow() throws Exception {
    ui.close();
  }

  @Test
  void everyTextAndMarkCanBeRead() throws Exception {
    look("empty");
    ui.dialogs.folder = SmallShoot.write(Files.createDirectory(folder.resolve("brandal")));
    ui.click("choose");
    ui.awaitShoot();
    look("sources");
    ListView<?> sources = ui.find("sources", ListView.class);
    ui.change(() -> sources.getSelectionModel().select(0));
    look("findings");
    ui.click("left-aside");
    look("not used");
    ui.click("left-aside");
    ui.click("details-place");
    look("place");
    ui.click("page-lanes");
    ui.press(KeyCode.DOWN);
    look("lanes");
    ui.change(
        () -> {
          // As while work goes on: nothing of the page can be used.
          List.of(
                  "lane-name",
                  "lane-role",
                  "layout",
                  "poly",
                  "lane-one",
                  "choose-target",
                  "target",
                  "reference")
              .forEach(id -> ui.stage().getScene().lookup("#" + id).setDisable(true));
        });
    look("disabled");
    assertTrue(disabled > 5, disabled + " disabled");
    menus();
    overlays();
    assertEquals(Set.of(), weak);
    assertTrue(seen.size() > 100, seen.size() + " texts");
  }

  private void overlays() throws Exception {
    for (int theme = 0; theme < 2; theme++) {
      ui.press(KeyCode.F1);
      walkAll("keys");
      ui.press(KeyCode.ESCAPE);
      ui.change(
          () -> {
            MenuBar bar = (MenuBar) ui.stage().getScene().lookup(".menu-bar");
            Menu help = bar.getMenus().get(bar.getMenus().size() - 1);
            help.getItems().get(1).fire();
          });
      assertEquals("pad-source", ui.focused());
      ui.click("pad-cautions-ask");
      walkAll("pad");
      ui.picture("pad-" + theme);
      String sums = ui.text("pad-result");
      assertEquals(theme == 0, sums.startsWith("Not enough to choose a pad"), sums);
      ui.change(() -> ui.stage().getScene().lookup("#pad-input").requestFocus());
      ui.type(theme == 0 ? "10mV" : "");
      sums = ui.text("pad-result");
      assertTrue(sums.startsWith("+4 dBu less \u221237.78 dBu is 41.78 dB"), sums);
      ui.press(KeyCode.ESCAPE);
      assertFalse(ui.isShown("pad"));
      otherTheme();
    }
  }

  private void menus() throws Exception {
    MenuBar bar = ui.onUi(() -> (MenuBar) ui.stage().getScene().lookup(".menu-bar"));
    for (int theme = 0; theme < 2; theme++) {
      for (Menu menu : bar.getMenus()) {
        ui.change(() -> menu.show());
        walkAll("menu " + menu.getText());
        ui.change(() -> menu.hide());
      }
      otherTheme();
    }
  }

  /** In one theme and the other. */
  private void look(String where) throws Exception {
    for (int theme = 0; theme < 2; theme++) {
      walkAll(where);
      otherTheme();
    }
  }

  private void otherTheme() throws Exception {
    ui.change(() -> ((Button) ui.stage().getScene().lookup("#dark")).fire());
  }

  private void walkAll(String where) throws Exception {
    ui.change(
        () -> {
          for (Window window : List.copyOf(Window.getWindows())) {
            if (window.isShowing()) {
              Parent root = window.getScene().getRoot();
              root.applyCss();
              root.layout();
              // These cover all else.
              Node seenPart = root;
              for (String cover : List.of("#keys", "#pad")) {
                Node over = root.lookup(cover);
                seenPart = over != null && over.isVisible() ? over : seenPart;
              }
              walk(seenPart, where);
            }
          }
        });
  }

  private void walk(Node node, String where) {
    if (!node.isVisible()) {
      return;
    }
    if (node instanceof Text text && !text.getText().isBlank()) {
      boolean off = isOff(node);
      disabled += off ? 1 : 0;
      check(node, text.getFill(), off ? 3 : 4.5, where + ": " + text.getText());
      seen.add(text.getText());
    } else if (node instanceof SVGPath mark) {
      check(node, mark.getFill(), 3, where + ": mark " + mark.getStyleClass());
    } else if (node instanceof Region region
        && node.getStyleClass().stream().anyMatch(OUTLINED::contains)
        && !node.getStyleClass().contains("arrow-button")
        && region.getBorder() != null
        && !isOff(node)) {
      outline(region, where);
    }
    if (node instanceof Parent parent) {
      parent.getChildrenUnmodifiable().forEach(child -> walk(child, where));
    }
  }

  /** Entries of menus only look disabled. */
  private static boolean isOff(Node node) {
    for (Node at = node; at != null; at = at.getParent()) {
      if (at.getPseudoClassStates().contains(DISABLED)) {
        return true;
      }
    }
    return false;
  }

  /** A line round a control, if it has one all round, against what lies about it. */
  private void outline(Region region, String where) {
    List<BorderStroke> strokes = region.getBorder().getStrokes();
    Paint paint = strokes.get(strokes.size() - 1).getTopStroke();
    boolean drawn = paint instanceof Color colour && colour.getOpacity() > 0;
    Parent around = region.getParent();
    if (drawn && around != null && !(around instanceof Control)) {
      double contrast = contrast(seenColour(around, null), (Color) paint);
      if (contrast < 3) {
        weak.add(where + ": outline of " + region + " " + contrast);
      }
    }
  }

  private void check(Node node, Paint paint, double least, String what) {
    if (!(paint instanceof Color colour) || colour.getOpacity() == 0) {
      return;
    }
    Color front = seenColour(node, colour);
    Color back = seenColour(node, null);
    double contrast = contrast(front, back);
    if (contrast < least) {
      weak.add(String.format(Locale.ROOT, "%s: %s on %s, %.2f", what, front, back, contrast));
    }
  }

  /** What the eye sees where a node is: its own colour, or what lies behind it for null. */
  private static Color seenColour(Node node, @Nullable Color own) {
    List<Node> path = new ArrayList<>();
    for (Node at = node; at != null; at = at.getParent()) {
      path.add(0, at);
    }
    Paint scene = node.getScene().getFill();
    Color behind = scene instanceof Color colour ? colour : Color.WHITE;
    return composed(path, 0, over(behind, Color.WHITE), own);
  }

  private static Color composed(List<Node> path, int at, Color behind, @Nullable Color own) {
    Node node = path.get(at);
    Color inside = behind;
    if (node instanceof Region region && region.getBackground() != null) {
      for (BackgroundFill fill : region.getBackground().getFills()) {
        if (fill.getFill() instanceof Color colour) {
          inside = over(colour, inside);
        }
      }
    }
    boolean last = at == path.size() - 1;
    if (!last) {
      inside = composed(path, at + 1, inside, own);
    } else if (own != null) {
      inside = over(own, inside);
    }
    boolean shape = node instanceof Shape && own == null;
    return shape ? inside : behind.interpolate(inside, node.getOpacity());
  }

  private static Color over(Color front, Color back) {
    Color opaque = Color.color(front.getRed(), front.getGreen(), front.getBlue());
    return back.interpolate(opaque, front.getOpacity());
  }

  private static double contrast(Color one, Color other) {
    double a = luminance(one) + 0.05;
    double b = luminance(other) + 0.05;
    return Math.max(a, b) / Math.min(a, b);
  }

  private static double luminance(Color colour) {
    return 0.2126 * linear(colour.getRed())
        + 0.7152 * linear(colour.getGreen())
        + 0.0722 * linear(colour.getBlue());
  }

  private static double linear(double part) {
    return part <= 0.03928 ? part / 12.92 : Math.pow((part + 0.055) / 1.055, 2.4);
  }
}
