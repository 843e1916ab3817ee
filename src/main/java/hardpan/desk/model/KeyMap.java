package hardpan.desk.model;

import java.util.ArrayList;
import java.util.List;

/** What the keys do, as the window tells it on demand. */
public final class KeyMap {
  private static final List<String> GROUPS =
      List.of("keys.everywhere", "keys.sources", "keys.clock", "keys.listen", "keys.lanes");

  private KeyMap() {}

  /**
   * Keys that belong together.
   *
   * @param title where they work
   * @param keys one a line
   */
  public record Group(String title, List<Key> keys) {
    /** Copies the list. */
    public Group {
      keys = List.copyOf(keys);
    }
  }

  /**
   * One line.
   *
   * @param keys names of the keys
   * @param does what they do
   */
  public record Key(String keys, String does) {}

  /**
   * All of them. A group is a text of its own and numbered texts after it, {@code keys.lanes.1}, of
   * the form {@code keys|what they do}. The modifier of menus is named as this computer's keyboard
   * names it.
   */
  public static List<Group> groups() {
    boolean apple = System.getProperty("os.name", "").startsWith("Mac");
    return groups(Texts.of(apple ? "keys.shortcut.apple" : "keys.shortcut"));
  }

  /** The same, with the modifier of menus under another name. */
  static List<Group> groups(String shortcut) {
    List<Group> groups = new ArrayList<>();
    for (String group : GROUPS) {
      List<Key> keys = new ArrayList<>();
      for (int number = 1; Texts.has(group + "." + number); number++) {
        String[] parts =
            Texts.of(group + "." + number).replace("Shortcut", shortcut).split("\\|", 2);
        keys.add(new Key(parts[0], parts.length > 1 ? parts[1] : ""));
      }
      if (Texts.has(group) && !keys.isEmpty()) {
        groups.add(new Group(Texts.of(group), keys));
      }
    }
    return groups;
  }
}
