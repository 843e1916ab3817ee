package hardpan.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.stream.Stream;

/** A folder that a bench made, with everything in it. */
final class FolderTree {
  private FolderTree() {}

  /** Removes it, the innermost first. */
  static void delete(Path root) throws IOException {
    try (Stream<Path> all = Files.walk(root)) {
      for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(path);
      }
    }
  }
}
