package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.report.Report;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/**
 * How long it takes until a shoot that was worked on before can be shown again: opening its file,
 * checking it, everything that is known of the sources with their waveforms, and the report.
 */
public final class ReopenBench {
  private static final int RUNS = 9;
  private static final List<BenchShoot> SHOOTS =
      List.of(new BenchShoot(600, 180), new BenchShoot(3600, 600));

  private final Monitor monitor;

  /** With progress and cancel. */
  public ReopenBench(Monitor monitor) {
    this.monitor = monitor;
  }

  private record Times(double openSeconds, double lookSeconds) {}

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if the media cannot be made
   * @throws ShootException if they cannot be read
   * @throws IOException if a folder cannot be used
   */
  public String section() throws MediaException, ShootException, IOException {
    Path folder = Files.createTempDirectory("hardpan-bench-");
    List<String> rows = new ArrayList<>();
    try {
      for (int i = 0; i < SHOOTS.size(); i++) {
        rows.add(measure(SHOOTS.get(i), folder.resolve("shoot" + i)));
      }
    } finally {
      FolderTree.delete(folder);
    }
    return """
        ## Opening a shoot again

        Measured by `hardpan bench reopen`: a shoot is read and lined up once; then, %d times, its file is
        opened and checked, and everything the window shows is taken from it: sources, findings, places,
        waveforms, report. The first time includes loading the classes. "Looking" compares the sources with
        what was kept; the window does it in the background, with the shoot on show.

        | shoot | its file | first time | median after | largest after | looking, median |
        |---|---|---|---|---|---|
        %s

        Machine: %d cores, %s %s, Java %s. Date: %s.
        """
        .formatted(
            RUNS,
            String.join("\n", rows),
            Runtime.getRuntime().availableProcessors(),
            System.getProperty("os.name"),
            System.getProperty("os.arch"),
            System.getProperty("java.version"),
            LocalDate.now(ZoneOffset.UTC));
  }

  private String measure(BenchShoot shoot, Path folder)
      throws MediaException, ShootException, IOException {
    monitor.progress("making media", 0);
    Path media = Files.createDirectories(folder.resolve("media"));
    shoot.make(media);
    Path file = folder.resolve("kept.hardpan");
    try (ShootSession session = ShootSession.open(List.of(media), file, ReaderChoice.BEST)) {
      session.read(session.wishes(), monitor);
    }
    List<Times> times = new ArrayList<>();
    for (int run = 0; run < RUNS; run++) {
      monitor.checkCancelled();
      monitor.progress("opening again", (double) run / RUNS);
      times.add(reopen(media, file));
    }
    List<Double> later = times.subList(1, RUNS).stream().map(Times::openSeconds).sorted().toList();
    double looking =
        times.stream()
            .map(Times::lookSeconds)
            .sorted(Comparator.naturalOrder())
            .toList()
            .get(RUNS / 2);
    return String.format(
        Locale.ROOT,
        "| %d min event, 1 recording and %d clips of %d s | %.1f MB | %.2f s | %.3f s | %.3f s | %.3f s |",
        shoot.eventSeconds() / 60,
        BenchShoot.CLIPS,
        shoot.clipSeconds(),
        Files.size(file) / 1e6,
        times.get(0).openSeconds(),
        later.get(later.size() / 2),
        later.get(later.size() - 1),
        looking);
  }

  private static Times reopen(Path media, Path file) throws ShootException, IOException {
    long start = System.nanoTime();
    try (ShootSession session = ShootSession.open(List.of(media), file, ReaderChoice.BEST)) {
      Shoot shoot = session.kept().orElseThrow(() -> new IOException("nothing was kept"));
      Report report = ReportMaker.report(shoot, List.of(), OffsetDateTime.now(ZoneOffset.UTC));
      double openSeconds = (System.nanoTime() - start) / 1e9;
      if (report.sources().size() != BenchShoot.CLIPS + 1) {
        throw new IOException("not all sources came back");
      }
      long looked = System.nanoTime();
      if (!session.changes(Monitor.SILENT).isEmpty()) {
        throw new IOException("the sources are said to have changed");
      }
      return new Times(openSeconds, (System.nanoTime() - looked) / 1e9);
    }
  }
}
