package hardpan.demo;

import hardpan.base.MediaAccessException;
import java.io.IOException;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * The note in a media folder that says which of its files the generator made, with which version
 * and how long they are. A file that the note does not name is somebody's own and never replaced.
 */
final class DemoStamp {
  static final String NAME = ".made-by-hardpan";
  private static final long MOST_BYTES = 1 << 16;
  private static final String HEAD = "hardpan demo ";

  private final Path media;

  /** Path to length; -1 for a file of another version. Guarded by this. */
  private final Map<String, Long> sizes = new TreeMap<>();

  private DemoStamp(Path media) {
    this.media = media;
  }

  private static String head() {
    return HEAD + DemoShoot.MAKER_VERSION + " " + DemoShoot.SEED;
  }

  /** Reads the note; an absent or unreadable one names no file. */
  static DemoStamp open(Path media) throws IOException {
    DemoStamp stamp = new DemoStamp(media);
    Path note = media.resolve(NAME);
    if (Files.isRegularFile(note) && Files.size(note) <= MOST_BYTES) {
      List<String> lines = Files.readAllLines(note);
      boolean current = !lines.isEmpty() && lines.get(0).equals(head());
      if (current || (!lines.isEmpty() && lines.get(0).startsWith(HEAD))) {
        for (String line : lines.subList(1, lines.size())) {
          int space = line.indexOf(' ');
          if (space > 0 && line.substring(0, space).matches("-?[0-9]{1,15}")) {
            long size = Long.parseLong(line.substring(0, space));
            stamp.sizes.put(line.substring(space + 1), current ? size : -1);
          }
        }
      }
    }
    return stamp;
  }

  /**
   * Which files have to be made.
   *
   * @throws MediaAccessException if somebody's own file is in the way
   */
  synchronized List<String> missing(List<String> paths) throws IOException {
    List<String> missing = new ArrayList<>();
    for (String path : paths) {
      Path file = media.resolve(path);
      Long size = sizes.get(path);
      if (Files.exists(file) && size == null) {
        throw new MediaAccessException(
            file + " was not made by Hardpan and is in the way of the demo shoot; move it away.");
      }
      if (size == null || !Files.isRegularFile(file) || Files.size(file) != size) {
        missing.add(path);
      }
    }
    return missing;
  }

  /** Notes a finished file, then gives it its name. */
  synchronized void finish(String path, Path made) throws IOException {
    sizes.put(path, Files.size(made));
    StringBuilder text = new StringBuilder(head()).append('\n');
    sizes.forEach((name, size) -> text.append(size).append(' ').append(name).append('\n'));
    replaceText(media.resolve(NAME), text.toString());
    Path file = media.resolve(path);
    Path folder = file.getParent();
    if (folder != null) {
      Files.createDirectories(folder);
    }
    move(made, file);
  }

  /** Writes a small text file by way of a temporary one; leaves an equal one alone. */
  static void replaceText(Path file, String text) throws IOException {
    if (Files.isRegularFile(file)
        && Files.size(file) <= MOST_BYTES
        && Files.readString(file).equals(text)) {
      return;
    }
    String temporaryName = ".writing-" + ProcessHandle.current().pid() + "-" + file.getFileName();
    Path temporary = file.resolveSibling(temporaryName);
    try {
      Files.writeString(temporary, text);
      move(temporary, file);
    } finally {
      Files.deleteIfExists(temporary);
    }
  }

  private static void move(Path from, Path to) throws IOException {
    try {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (AtomicMoveNotSupportedException e) {
      Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
    }
  }
}
