package hardpan.shoot;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Guesses which device a source comes from, by its folder: the first folder below what all sources
 * have in common, or for files that lie there bare, their name without its number.
 */
final class Devices {
  private Devices() {}

  /**
   * The guesses.
   *
   * @param paths relative paths with '/' separators
   * @return device by path
   */
  static Map<String, String> guess(List<String> paths) {
    int common = commonFolders(paths);
    Map<String, String> devices = new HashMap<>();
    for (String path : paths) {
      String[] parts = path.split("/", -1);
      String device =
          parts.length > common + 1 ? parts[common] : nameWithoutNumber(parts[parts.length - 1]);
      devices.put(path, device);
    }
    return devices;
  }

  private static int commonFolders(List<String> paths) {
    List<String[]> folders = new ArrayList<>();
    for (String path : paths) {
      folders.add(path.split("/", -1));
    }
    int common = 0;
    while (!folders.isEmpty()) {
      String here = folders.get(0).length > common + 2 ? folders.get(0)[common] : null;
      for (String[] parts : folders) {
        if (here == null || parts.length <= common + 2 || !parts[common].equals(here)) {
          return common;
        }
      }
      common++;
    }
    return common;
  }

  private static String nameWithoutNumber(String fileName) {
    int dot = fileName.lastIndexOf('.');
    String stem = dot > 0 ? fileName.substring(0, dot) : fileName;
    String name = stem.replaceAll("[0-9]+$", "").replaceAll("[-_. ]+$", "");
    return name.isEmpty() ? stem : name;
  }
}
