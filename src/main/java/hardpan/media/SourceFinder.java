package hardpan.media;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * Finds the clips and recordings in folders, by name; nothing is opened except a {@code
 * report.json}, to tell earlier hand-overs from sources.
 *
 * <p>The walk follows links, never enters a folder twice, goes {@value #MAX_DEPTH} folders deep and
 * looks at no more than {@value #MAX_FILES} entries. The order is that of the roots, within a root
 * that of the names, compared character by character, so that it is the same on every machine.
 */
public final class SourceFinder {
  static final int MAX_DEPTH = 16;
  static final int MAX_FILES = 100_000;

  /** A saved shoot and the two files that belong to it while it is open. */
  private static final Pattern OWN_FILE = Pattern.compile(".+\\.hardpan(-wal|-shm)?");

  /** So much of a {@code report.json} is searched for the mark of a hand-over. */
  private static final int REPORT_HEAD_BYTES = 64 * 1024;

  /**
   * A file to be read as a source.
   *
   * @param path where it is
   * @param relativePath its way from the root it was found under, with '/'; the bare name for a
   *     file that was named itself
   * @param named whether it was named itself; such a file is always taken
   */
  public record Candidate(Path path, String relativePath, boolean named) {
    /** What its name makes it, until it is opened. */
    public SourceFacts.Kind kind() {
      return MediaNames.kind(path, false);
    }
  }

  /**
   * A file or folder that was not taken.
   *
   * @param path where it is
   * @param relativePath as in {@link Candidate}; empty for a root
   * @param code what kind of reason
   * @param reason a few plain words
   */
  public record LeftOut(Path path, String relativePath, Code code, String reason) {
    /** For a file that is no media. */
    public LeftOut(Path path, String relativePath, String reason) {
      this(path, relativePath, Code.NOT_MEDIA, reason);
    }
  }

  /** Kinds of reasons to leave something out. */
  public enum Code {
    /** Hidden by its name or its attribute. */
    HIDDEN,
    /** The second half of another file, as Apple's systems put it on foreign disks. */
    RESOURCE_FORK,
    /** A picture or a thumbnail, or a folder of nothing else. */
    PICTURE,
    /** A file about another one. */
    SIDE_FILE,
    /** Not a clip or recording by its name. */
    NOT_MEDIA,
    /** A smaller twin of a clip that is taken. */
    PROXY,
    /** The same content as another file that is taken. */
    DUPLICATE,
    /** Hardpan wrote it. */
    HAND_OVER,
    /** Deeper or more than is searched. */
    LIMIT,
    /** A folder that cannot be read. */
    UNREADABLE
  }

  /** What a search found; both lists in the order of the walk. */
  public record Found(List<Candidate> candidates, List<LeftOut> leftOut) {
    /** Copies the lists. */
    public Found {
      candidates = List.copyOf(candidates);
      leftOut = List.copyOf(leftOut);
    }
  }

  private final List<Candidate> candidates = new ArrayList<>();
  private final List<LeftOut> leftOut = new ArrayList<>();
  private final Set<Path> seen = new HashSet<>();
  private int entries;
  private boolean full;

  private SourceFinder() {}

  /**
   * Searches folders and takes files.
   *
   * @param roots folders are searched; anything else is a candidate as it is, whatever its name and
   *     even if it does not exist (opening it then says so)
   */
  public static Found find(List<Path> roots) {
    SourceFinder finder = new SourceFinder();
    for (Path root : roots) {
      if (Files.isDirectory(root)) {
        finder.walk(root, "", 0);
      } else if (finder.isNew(root)) {
        Path name = root.getFileName();
        finder.candidates.add(new Candidate(root, name == null ? "" : name.toString(), true));
      }
    }
    return new Found(finder.candidates, finder.leftOut);
  }

  private void walk(Path folder, String relative, int depth) {
    if (!isNew(folder)) {
      // Reached before through a link or another root: listed already, or a loop.
      return;
    }
    if (depth > MAX_DEPTH) {
      leave(folder, relative, Code.LIMIT, "more than " + MAX_DEPTH + " folders deep");
      return;
    }
    if (isHandOver(folder)) {
      leave(folder, relative, Code.HAND_OVER, "an earlier hand-over");
      return;
    }
    List<Path> inside = sortedEntries(folder, relative);
    if (depth > 0 && isPicturesOnly(inside)) {
      leave(
          folder,
          relative,
          Code.PICTURE,
          "a folder of pictures (" + inside.size() + (inside.size() == 1 ? " file)" : " files)"));
      return;
    }
    for (Path entry : inside) {
      String name = entry.getFileName().toString();
      String path = relative.isEmpty() ? name : relative + "/" + name;
      if (OWN_FILE.matcher(name).matches()) {
        // Hardpan's saved work; nothing that was recorded.
        continue;
      }
      if (name.startsWith("._")) {
        leave(entry, path, Code.RESOURCE_FORK, "the side part of another file, without sound");
      } else if (name.startsWith(".") || isHidden(entry)) {
        leave(entry, path, Code.HIDDEN, "hidden");
      } else if (Files.isDirectory(entry)) {
        walk(entry, path, depth + 1);
      } else if (MediaNames.isMedia(entry)) {
        if (isNew(entry)) {
          candidates.add(new Candidate(entry, path, false));
        }
      } else if (MediaNames.isPicture(entry)) {
        leave(entry, path, Code.PICTURE, "a picture");
      } else if (MediaNames.isSideFile(entry)) {
        leave(entry, path, Code.SIDE_FILE, "a side file of clips or cards, without sound");
      } else {
        leave(entry, path, Code.NOT_MEDIA, "not a media file by its name");
      }
    }
  }

  private void leave(Path path, String relative, Code code, String reason) {
    leftOut.add(new LeftOut(path, relative, code, reason));
  }

  private static boolean isPicturesOnly(List<Path> entries) {
    return !entries.isEmpty()
        && entries.stream()
            .allMatch(
                entry ->
                    MediaNames.isPicture(entry)
                        && !entry.getFileName().toString().startsWith(".")
                        && !Files.isDirectory(entry));
  }

  private List<Path> sortedEntries(Path folder, String relative) {
    List<Path> found = new ArrayList<>();
    try (DirectoryStream<Path> stream = Files.newDirectoryStream(folder)) {
      for (Path entry : stream) {
        if (entries == MAX_FILES) {
          if (!full) {
            full = true;
            leave(
                folder,
                relative,
                Code.LIMIT,
                "more than " + MAX_FILES + " files: the rest is not read");
          }
          break;
        }
        entries++;
        found.add(entry);
      }
    } catch (IOException | DirectoryIteratorException e) {
      leave(folder, relative, Code.UNREADABLE, "the folder cannot be read");
    }
    found.sort(Comparator.comparing(entry -> entry.getFileName().toString()));
    return found;
  }

  private boolean isNew(Path path) {
    try {
      return seen.add(path.toRealPath());
    } catch (IOException e) {
      // A broken link or a missing file: it is told apart by its own path.
      return seen.add(path.toAbsolutePath());
    }
  }

  private static boolean isHidden(Path entry) {
    try {
      return Files.isHidden(entry);
    } catch (IOException e) {
      return false;
    }
  }

  private static boolean isHandOver(Path folder) {
    Path report = folder.resolve("report.json");
    if (!Files.isRegularFile(report)) {
      return false;
    }
    try (InputStream in = Files.newInputStream(report)) {
      byte[] head = in.readNBytes(REPORT_HEAD_BYTES);
      return new String(head, StandardCharsets.UTF_8).contains("\"hardpan-report\"");
    } catch (IOException e) {
      return false;
    }
  }
}
