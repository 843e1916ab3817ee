package hardpan.desk.model;

import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/** Where a hand-over goes unless the person says otherwise. */
final class Targets {
  private Targets() {}

  static Path beside(Path root, String name) {
    Path whole = root.toAbsolutePath().normalize();
    Path folder = Files.isDirectory(whole) ? whole.getParent() : grandparent(whole);
    return inside(folder == null ? whole : folder, name);
  }

  private static @Nullable Path grandparent(Path file) {
    Path parent = file.getParent();
    return parent == null || parent.getParent() == null ? parent : parent.getParent();
  }

  static Path inside(Path folder, String name) {
    return folder.resolve(name + "-handover");
  }
}
