package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import hardpan.lanes.Lane;
import hardpan.lanes.LaneWriter;
import hardpan.lanes.WrittenLane;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Writes all lanes of a hand-over on all cores; those that an earlier run finished are kept. */
final class LaneCrew {
  private final LaneWriter writer;
  private final Path folder;
  private final Journal journal;
  private final Map<String, MediaException> failures;

  /**
   * For one hand-over.
   *
   * @param folder where the lanes go
   * @param failures takes the sources that cannot be read any more, by path; safe for use by
   *     several threads
   */
  LaneCrew(LaneWriter writer, Path folder, Journal journal, Map<String, MediaException> failures) {
    this.writer = writer;
    this.folder = folder;
    this.journal = journal;
    this.failures = failures;
  }

  /** The lanes that were written, in the order of their plans. */
  List<WrittenLane> write(List<Lane> lanes, Monitor monitor) throws Exception {
    Map<String, List<Lane>> bySource = new LinkedHashMap<>();
    for (Lane lane : lanes) {
      bySource.computeIfAbsent(lane.source().path(), path -> new ArrayList<>()).add(lane);
    }
    List<List<WrittenLane>> written =
        Crew.all(
            List.copyOf(bySource.values()),
            "writing lanes",
            ShootSteps.LINED_UP,
            HandOver.LANES_WRITTEN,
            monitor,
            this::writeSource);
    return written.stream().flatMap(List::stream).toList();
  }

  /** A source that fails now costs its own lanes only. */
  private List<WrittenLane> writeSource(List<Lane> lanes, Monitor own) throws IOException {
    List<WrittenLane> kept = kept(lanes, own);
    if (kept.size() == lanes.size()) {
      return kept;
    }
    remove(lanes);
    try {
      List<WrittenLane> written = writer.write(lanes, folder, own);
      journal.add(written);
      return written;
    } catch (MediaException e) {
      remove(lanes);
      failures.put(lanes.get(0).source().path(), e);
      return List.of();
    }
  }

  /** What an earlier run finished and the disk still holds. */
  private List<WrittenLane> kept(List<Lane> lanes, Monitor own) throws IOException {
    List<WrittenLane> kept = new ArrayList<>();
    for (Lane lane : lanes) {
      WrittenLane finished = journal.finished(lane);
      Path file = folder.resolve(lane.fileName());
      if (finished != null
          && Files.isRegularFile(file)
          && finished
              .sha256()
              .equals(Checksum.sha256(file, (bytes, count) -> own.checkCancelled()))) {
        kept.add(finished);
      }
    }
    return kept;
  }

  private void remove(List<Lane> lanes) throws IOException {
    for (Lane lane : lanes) {
      Files.deleteIfExists(folder.resolve(lane.fileName()));
    }
  }
}
