package hardpan.shoot;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * Guesses which device a source comes from, by the folder it lies in, without the folders that
 * every camera card has. A source that lies in none comes from a device named like the file without
 * its number.
 */
final class Devices {
  /**
   * Folders of a card's own structure: DCIM and three digits with more behind them (design rule for
   * camera file systems, JEITA CP-3461), and those of high-definition camcorders (common practice,
   * no source).
   */
  private static final Pattern CARD_FOLDER =
      Pattern.compile("DCIM|[0-9]{3}[A-Z0-9_]{0,5}|PRIVATE|AVCHD|BDMV|STREAM|CLIP|CONTENTS");

  private Devices() {}

  /**
   * The guesses.
   *
   * @param paths relative paths with '/' separators
   * @return device by path; sources of one folder have one device, those of two folders never
   */
  static Map<String, String> guess(List<String> paths) {
    Map<String, List<String>> folders = new HashMap<>();
    for (String path : paths) {
      folders.put(path, deviceFolder(path));
    }
    Map<String, String> devices = new HashMap<>();
    for (String path : paths) {
      List<String> folder = folders.getOrDefault(path, List.of());
      devices.put(
          path,
          folder.isEmpty()
              ? nameWithoutNumber(path.substring(path.lastIndexOf('/') + 1))
              : shortest(folder, folders.values()));
    }
    return devices;
  }

  private static List<String> deviceFolder(String path) {
    List<String> parts = new ArrayList<>(List.of(path.split("/", -1)));
    parts.remove(parts.size() - 1);
    // A folder of small copies belongs to the card it lies on.
    while (!parts.isEmpty()
        && (CARD_FOLDER.matcher(parts.get(parts.size() - 1)).matches()
            || (parts.size() > 1 && Proxies.isFolder(parts.get(parts.size() - 1))))) {
      parts.remove(parts.size() - 1);
    }
    return parts;
  }

  /** As many last parts of a folder as tell it from all other folders. */
  private static String shortest(List<String> folder, Iterable<List<String>> all) {
    Set<List<String>> others = new HashSet<>();
    all.forEach(others::add);
    others.remove(folder);
    for (int count = 1; count < folder.size(); count++) {
      List<String> tail = folder.subList(folder.size() - count, folder.size());
      boolean own = true;
      for (List<String> other : others) {
        int from = Math.max(0, other.size() - count);
        own &= !other.subList(from, other.size()).equals(tail);
      }
      if (own) {
        return String.join("-", tail);
      }
    }
    return String.join("-", folder);
  }

  /**
   * What a device puts before the number in its files' names: everything before the first digit,
   * without the separators at its end.
   */
  static String prefix(String path) {
    String stem = stem(path);
    int at = 0;
    while (at < stem.length() && !Character.isDigit(stem.charAt(at))) {
      at++;
    }
    return stem.substring(0, at).replaceAll("[-_. ]+$", "");
  }

  /** A file's name without its ending. */
  static String stem(String path) {
    String name = path.substring(path.lastIndexOf('/') + 1);
    int dot = name.lastIndexOf('.');
    return dot > 0 ? name.substring(0, dot) : name;
  }

  /** A file name's ending in lower case, without the dot. */
  static String ending(String path) {
    int dot = path.lastIndexOf('.');
    return dot < path.lastIndexOf('/') || dot < 0
        ? ""
        : path.substring(dot + 1).toLowerCase(Locale.ROOT);
  }

  private static String nameWithoutNumber(String fileName) {
    String stem = stem(fileName);
    String name = stem.replaceAll("[0-9]+$", "").replaceAll("[-_. ]+$", "");
    return name.isEmpty() ? stem : name;
  }
}
