package hardpan.shoot;

import hardpan.media.SourceFinder.Candidate;
import hardpan.media.SourceFinder.LeftOut;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Gives every source the one path it has in the report. With one given folder that is its way from
 * there; with several, it begins with the name of its folder, so that the cards of two cameras stay
 * apart.
 */
final class SourcePaths {
  private SourcePaths() {}

  /**
   * The paths, with '/' separators, no two alike, in the order of the candidates.
   *
   * @param candidates what was found
   * @param roots the given folders and files
   */
  static Map<Candidate, String> of(List<Candidate> candidates, List<Path> roots) {
    Map<Path, String> folders = folderNames(roots);
    Map<Candidate, String> paths = new LinkedHashMap<>();
    Set<String> used = new HashSet<>();
    for (Candidate candidate : candidates) {
      String path = candidate.relativePath();
      if (folders.size() > 1) {
        path = inFolder(candidate.path(), path, folders);
      }
      String unique = path;
      if (used.contains(unique)) {
        unique = nameOf(candidate.path().toAbsolutePath().normalize().getParent()) + "/" + path;
      }
      String stem = unique;
      for (int number = 2; !used.add(unique); number++) {
        unique = number + "/" + stem;
      }
      paths.put(candidate, unique);
    }
    return paths;
  }

  /**
   * What was left out under the same paths; a given folder that was left out as a whole by its own
   * name.
   */
  static List<LeftOut> ofLeftOut(List<LeftOut> leftOut, List<Path> roots) {
    Map<Path, String> folders = folderNames(roots);
    List<LeftOut> result = new ArrayList<>();
    for (LeftOut left : leftOut) {
      String relative = left.relativePath();
      String path = folders.size() > 1 ? inFolder(left.path(), relative, folders) : relative;
      String shown = path.isEmpty() ? nameOf(left.path().toAbsolutePath().normalize()) : path;
      result.add(new LeftOut(left.path(), shown, left.code(), left.reason()));
    }
    return result;
  }

  private static String inFolder(Path path, String relative, Map<Path, String> folders) {
    for (Map.Entry<Path, String> folder : folders.entrySet()) {
      if (path.equals(folder.getKey().resolve(relative))) {
        return relative.isEmpty() ? folder.getValue() : folder.getValue() + "/" + relative;
      }
    }
    return relative;
  }

  private static Map<Path, String> folderNames(List<Path> roots) {
    Map<Path, String> names = new LinkedHashMap<>();
    Set<String> used = new HashSet<>();
    for (Path root : roots) {
      if (Files.isDirectory(root) && !names.containsKey(root)) {
        String stem = nameOf(root.toAbsolutePath().normalize());
        String name = stem;
        for (int number = 2; !used.add(name); number++) {
          name = stem + "-" + number;
        }
        names.put(root, name);
      }
    }
    return names;
  }

  /**
   * What a shoot is called: the given folder's name; with several folders side by side, that of the
   * folder around them.
   */
  static String shootName(List<Path> roots) {
    List<Path> folders =
        roots.stream()
            .filter(Files::isDirectory)
            .map(root -> root.toAbsolutePath().normalize())
            .distinct()
            .toList();
    if (folders.isEmpty()) {
      return nameOf(roots.get(0).toAbsolutePath().normalize().getParent());
    }
    Path first = folders.get(0);
    boolean sideBySide =
        folders.size() > 1
            && folders.stream()
                .allMatch(folder -> Objects.equals(folder.getParent(), first.getParent()));
    return nameOf(sideBySide ? first.getParent() : first);
  }

  private static String nameOf(@Nullable Path folder) {
    Path name = folder == null ? null : folder.getFileName();
    return name == null ? "shoot" : name.toString();
  }
}
