package hardpan.shoot;

import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * The checksums of the originals, so that years later anybody can tell whether a file is still the
 * one the hand-over was made from. Safe for use by several threads.
 */
final class SourceSums {
  private final List<ShootSource> sources;
  private final Path target;
  private final Map<String, String> lines = new ConcurrentHashMap<>();

  /**
   * For the sources of a shoot that can be read.
   *
   * @param target the hand-over's folder; the paths lead from there to the sources
   */
  SourceSums(Shoot shoot, Path target) {
    this.sources = shoot.sources().stream().filter(ShootSource::isReadable).toList();
    this.target = target;
  }

  /** What is to be added up. */
  List<ShootSource> sources() {
    return sources;
  }

  /**
   * Reads a source through.
   *
   * @throws java.util.concurrent.CancellationException if cancelled
   */
  void add(ShootSource source, Monitor monitor) {
    lines.put(source.path(), line(source, monitor));
  }

  private String line(ShootSource source, Monitor monitor) {
    try {
      String sum = Checksum.sha256(source.file(), (bytes, count) -> monitor.checkCancelled());
      @Nullable String relative = Originals.relative(source.file(), target);
      String path = relative == null ? source.file().toAbsolutePath().toString() : relative;
      return sum + "  " + path + "\n";
    } catch (IOException e) {
      return "# cannot be read any more: " + source.path() + "\n";
    }
  }

  /**
   * One line a source, as {@code sha256sum --check} takes it; a source that cannot be read any more
   * is named behind a {@code #}.
   *
   * @param shoot the shoot as it was written; sources whose lanes failed are left out
   */
  String text(Shoot shoot) {
    StringBuilder text = new StringBuilder();
    for (ShootSource source : shoot.sources()) {
      if (source.isReadable()) {
        text.append(lines.getOrDefault(source.path(), ""));
      }
    }
    return text.toString();
  }
}
