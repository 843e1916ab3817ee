package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.Checksum;
import hardpan.lanes.Lane;
import hardpan.lanes.LaneSource;
import hardpan.lanes.LaneWriter;
import hardpan.lanes.PlannedFile;
import hardpan.lanes.WrittenLane;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;

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

  /** One piece of the work. */
  @FunctionalInterface
  private interface Job {
    List<WrittenLane> run(Monitor own) throws IOException;
  }

  /**
   * Writes the lanes, and adds up the sources beside it, each soon after its lanes were read from
   * it.
   *
   * @return the lanes, file by file in the order of their plans
   */
  List<WrittenLane> write(List<PlannedFile> files, SourceSums sums, Monitor monitor)
      throws Exception {
    Map<String, List<PlannedFile>> batches = new LinkedHashMap<>();
    for (PlannedFile file : files) {
      batches.computeIfAbsent(batch(file), key -> new ArrayList<>()).add(file);
    }
    List<List<PlannedFile>> toWrite = List.copyOf(batches.values());
    List<ShootSource> toAdd = sums.sources();
    List<Job> jobs = new ArrayList<>();
    for (int i = 0; i < Math.max(toWrite.size(), toAdd.size()); i++) {
      if (i < toWrite.size()) {
        List<PlannedFile> batch = toWrite.get(i);
        jobs.add(own -> writeBatch(batch, own));
      }
      if (i < toAdd.size()) {
        ShootSource source = toAdd.get(i);
        jobs.add(
            own -> {
              sums.add(source, own);
              return List.of();
            });
      }
    }
    List<List<WrittenLane>> written =
        Crew.all(
            jobs, "writing lanes", ShootSteps.LINED_UP, HandOver.LANES_WRITTEN, monitor, Job::run);
    return written.stream().flatMap(List::stream).toList();
  }

  /** Files of one batch are written together, so that no source is read twice. */
  private static String batch(PlannedFile file) {
    LaneSource source = file.lanes().get(0).source();
    return file.sources().size() == 1 ? source.path() : "device\n" + source.device();
  }

  /** A source that fails now costs its own lanes only. */
  private List<WrittenLane> writeBatch(List<PlannedFile> files, Monitor own) throws IOException {
    List<WrittenLane> kept = kept(files, own);
    if (!kept.isEmpty()) {
      return kept;
    }
    remove(files);
    AtomicBoolean whole = new AtomicBoolean(true);
    try {
      List<WrittenLane> written =
          writer.write(
              files,
              folder,
              (source, failure) -> {
                whole.set(false);
                failures.put(source.path(), failure);
              },
              own);
      if (whole.get()) {
        journal.add(written);
      }
      return written;
    } catch (MediaException e) {
      remove(files);
      failures.put(files.get(0).lanes().get(0).source().path(), e);
      return List.of();
    }
  }

  /** What an earlier run finished and the disk still holds; empty unless it is all of it. */
  private List<WrittenLane> kept(List<PlannedFile> files, Monitor own) throws IOException {
    List<WrittenLane> kept = new ArrayList<>();
    for (PlannedFile file : files) {
      String sum = null;
      for (Lane lane : file.lanes()) {
        WrittenLane finished = journal.finished(lane);
        if (finished == null) {
          return List.of();
        }
        sum = sum == null ? checksum(file, own) : sum;
        if (!finished.sha256().equals(sum)) {
          return List.of();
        }
        kept.add(finished);
      }
    }
    return kept;
  }

  /** Empty if there is no such file. */
  private String checksum(PlannedFile plan, Monitor own) throws IOException {
    Path file = folder.resolve(plan.name());
    return Files.isRegularFile(file)
        ? Checksum.sha256(file, (bytes, count) -> own.checkCancelled())
        : "";
  }

  private void remove(List<PlannedFile> files) throws IOException {
    for (PlannedFile file : files) {
      Files.deleteIfExists(folder.resolve(file.name()));
    }
  }
}
