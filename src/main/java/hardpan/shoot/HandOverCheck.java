package hardpan.shoot;

import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CancellationException;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * Compares a hand-over with its own list of checksums, and the originals with theirs where they can
 * be reached. Only reads.
 */
public final class HandOverCheck {
  /** No list is longer: a hand-over of ten thousand files stays far below it. */
  private static final long LARGEST_LIST_BYTES = 16L * 1024 * 1024;

  private static final Pattern LINE = Pattern.compile("([0-9a-f]{64})  (.+)");

  private final Path folder;
  private final List<Path> sourceFolders;
  private final Monitor monitor;
  private final List<Difference> differences = new ArrayList<>();

  /** What is not as it was. */
  public enum Kind {
    /** Other bytes than were handed over. */
    CHANGED,
    /** Not there. */
    MISSING,
    /** There, but not handed over. */
    ADDED,
    /** There, but the disk does not give it. */
    UNREADABLE
  }

  /**
   * One file that is not as it was.
   *
   * @param path within the hand-over, or the way from it to an original
   * @param original whether it is an original and no part of the hand-over
   */
  public record Difference(String path, boolean original, Kind kind) {}

  /**
   * What came of it.
   *
   * @param files files of the hand-over that were compared
   * @param originals originals that were compared
   * @param outOfReach originals that could not be found; no difference, they may lie on another
   *     disk
   * @param differences what is not as it was
   */
  public record Result(
      int files, int originals, List<String> outOfReach, List<Difference> differences) {
    /** Copies the lists. */
    public Result {
      outOfReach = List.copyOf(outOfReach);
      differences = List.copyOf(differences);
    }
  }

  private HandOverCheck(Path folder, List<Path> sourceFolders, Monitor monitor) {
    this.folder = folder;
    this.sourceFolders = sourceFolders;
    this.monitor = monitor;
  }

  /**
   * Compares.
   *
   * @param folder the hand-over
   * @param sourceFolders where the originals lie now, if they were moved; usually empty
   * @throws ShootException if there is no hand-over, or its list cannot be read
   * @throws CancellationException if cancelled
   */
  public static Result run(Path folder, List<Path> sourceFolders, Monitor monitor)
      throws ShootException {
    return new HandOverCheck(folder, sourceFolders, monitor).run();
  }

  private Result run() throws ShootException {
    if (!Files.isDirectory(folder)) {
      throw none("There is no folder " + folder + ".");
    }
    if (!Files.isRegularFile(folder.resolve(HandOverFolder.CHECKSUMS))) {
      throw none(
          folder + " is no hand-over: it has no " + HandOverFolder.CHECKSUMS + " to compare with.");
    }
    Map<String, String> own = list(HandOverFolder.CHECKSUMS, true);
    Path sums = folder.resolve(HandOverPapers.SOURCE_CHECKSUMS);
    Map<String, String> sources =
        Files.isRegularFile(sums) ? list(HandOverPapers.SOURCE_CHECKSUMS, false) : Map.of();
    int all = Math.max(1, own.size() + sources.size());
    int done = 0;
    for (Map.Entry<String, String> entry : own.entrySet()) {
      monitor.progress("comparing", (double) done++ / all);
      compare(entry.getKey(), folder.resolve(entry.getKey()), entry.getValue(), false);
    }
    findAdded(own.keySet());
    List<String> outOfReach = new ArrayList<>();
    for (Map.Entry<String, String> entry : sources.entrySet()) {
      monitor.progress("comparing the originals", (double) done++ / all);
      Path original = original(entry.getKey());
      if (original == null) {
        outOfReach.add(entry.getKey());
      } else {
        compare(entry.getKey(), original, entry.getValue(), true);
      }
    }
    monitor.progress("done", 1);
    return new Result(own.size(), sources.size() - outOfReach.size(), outOfReach, differences);
  }

  private static ShootException none(String sentence) {
    return new ShootException(ShootException.Reason.NOTHING_DONE, sentence);
  }

  private Map<String, String> list(String name, boolean inside) throws ShootException {
    Map<String, String> sums = new LinkedHashMap<>();
    try {
      Path file = folder.resolve(name);
      if (Files.size(file) > LARGEST_LIST_BYTES) {
        throw damaged(name);
      }
      for (String line : Files.readAllLines(file, StandardCharsets.UTF_8)) {
        Matcher match = LINE.matcher(line);
        if (match.matches() && (!inside || isInside(match.group(2)))) {
          sums.put(match.group(2), match.group(1));
        } else if (!line.isBlank() && !line.startsWith("#")) {
          throw damaged(name);
        }
      }
    } catch (IOException e) {
      throw damaged(name);
    }
    if (inside && sums.isEmpty()) {
      throw damaged(name);
    }
    return sums;
  }

  private ShootException damaged(String name) {
    return none(
        "The list " + name + " in " + folder + " is damaged; it cannot be compared with it.");
  }

  /** A list must not lead out of its folder. */
  private boolean isInside(String path) {
    try {
      Path whole = folder.resolve(path).normalize();
      return whole.startsWith(folder.normalize()) && !whole.equals(folder.normalize());
    } catch (InvalidPathException e) {
      return false;
    }
  }

  private void compare(String path, Path file, String sum, boolean original) {
    monitor.checkCancelled();
    if (!Files.isRegularFile(file)) {
      differences.add(new Difference(path, original, Kind.MISSING));
      return;
    }
    try {
      if (!sum.equals(Checksum.sha256(file, (bytes, count) -> monitor.checkCancelled()))) {
        differences.add(new Difference(path, original, Kind.CHANGED));
      }
    } catch (IOException e) {
      differences.add(new Difference(path, original, Kind.UNREADABLE));
    }
  }

  private void findAdded(Set<String> own) throws ShootException {
    try (Stream<Path> all = Files.walk(folder)) {
      Set<String> added = new TreeSet<>();
      for (Path file : all.toList()) {
        String path = folder.relativize(file).toString().replace('\\', '/');
        boolean known =
            own.contains(path)
                || path.equals(HandOverFolder.CHECKSUMS)
                || HandOverFolder.isLitter(file)
                || Files.isDirectory(file, LinkOption.NOFOLLOW_LINKS);
        if (!known) {
          added.add(path);
        }
      }
      added.forEach(path -> differences.add(new Difference(path, false, Kind.ADDED)));
    } catch (IOException | UncheckedIOException e) {
      throw none("What " + folder + " holds cannot be listed: the disk refuses.");
    }
  }

  /** An original where it was, or under the same names in one of the given folders. */
  private @Nullable Path original(String path) {
    try {
      List<Path> places = new ArrayList<>();
      Path way = Path.of(path);
      for (Path sourceFolder : sourceFolders) {
        // The longest end of the way that is there: CAM-A/a1.mov before a1.mov.
        for (int from = 0; from < way.getNameCount(); from++) {
          places.add(sourceFolder.resolve(way.subpath(from, way.getNameCount()).toString()));
        }
      }
      // The way leads from the folder as it really lies, whatever links were followed to it.
      places.add(HandOverFolder.real(folder).resolve(way).normalize());
      Path last = places.get(places.size() - 1);
      Path parent = last.getParent();
      // Where its folder is there and it is not, it is missing and not out of reach.
      Path there = parent != null && Files.isDirectory(parent) ? last : null;
      return places.stream().filter(Files::isRegularFile).findFirst().orElse(there);
    } catch (InvalidPathException e) {
      return null;
    }
  }
}
