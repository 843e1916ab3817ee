package hardpan.shoot;

import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The checksums of the originals, so that years later anybody can tell whether a file is still the
 * one the hand-over was made from.
 */
final class SourceSums {
  private SourceSums() {}

  /**
   * Reads every source through that could be read.
   *
   * @param target the hand-over's folder; the paths lead from there to the sources
   * @return one line a source, as {@code sha256sum --check} takes it; a source that cannot be read
   *     any more is named behind a {@code #}
   * @throws java.util.concurrent.CancellationException if cancelled
   */
  static String text(Shoot shoot, Path target, Monitor monitor) throws Exception {
    List<ShootSource> sources = shoot.sources().stream().filter(ShootSource::isReadable).toList();
    List<String> lines =
        Crew.all(
            sources,
            "summing up the sources",
            HandOver.LANES_WRITTEN,
            0.97,
            monitor,
            (source, own) -> line(source, target, own));
    return String.join("", lines);
  }

  private static String line(ShootSource source, Path target, Monitor monitor) {
    try {
      String sum = Checksum.sha256(source.file(), (bytes, count) -> monitor.checkCancelled());
      @Nullable String relative = Originals.relative(source.file(), target);
      String path = relative == null ? source.file().toAbsolutePath().toString() : relative;
      return sum + "  " + path + "\n";
    } catch (IOException e) {
      return "# cannot be read any more: " + source.path() + "\n";
    }
  }
}
