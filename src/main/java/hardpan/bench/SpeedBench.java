package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;

/**
 * Runs whole hand-overs as processes of their own, the way a person would, and measures wall-clock
 * time and the largest resident memory.
 */
public final class SpeedBench {
  private static final int RUNS = 3;
  private static final List<BenchShoot> SHOOTS =
      List.of(new BenchShoot(600, 180), new BenchShoot(600, 600));

  private final List<String> command;
  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param command the start of the command line that runs this program
   * @param monitor progress and cancel
   */
  public SpeedBench(List<String> command, Monitor monitor) {
    this.command = List.copyOf(command);
    this.monitor = monitor;
  }

  /**
   * Measures and gives the page.
   *
   * @return Markdown
   * @throws MediaException if the media cannot be made
   * @throws IOException if a process cannot be run or a hand-over fails
   */
  public String page() throws MediaException, IOException {
    Path workFolder = Files.createTempDirectory("hardpan-bench-");
    List<String> rows = new ArrayList<>();
    try {
      for (int i = 0; i < SHOOTS.size(); i++) {
        rows.add(measure(SHOOTS.get(i), workFolder, (double) i / SHOOTS.size()));
      }
    } finally {
      FolderTree.delete(workFolder);
    }
    return """
        # Speed and memory

        Measured by `hardpan bench speed`, which makes the folders, runs `hardpan handover` on them as a
        process of its own (start of the virtual machine, reading, checking, line-up, writing, reading
        back and report included), and writes this page. Anybody can run it again; the figures belong to
        the machine below.

        | folder | sound read | wall clock, %d runs | times real time | largest resident memory |
        |---|---|---|---|---|
        %s

        Machine: %d cores, %s %s, Java %s. Date: %s. The folders hold one 4-channel 24-bit recording and
        12 stereo clips of 4 cameras (MOV with 16-bit PCM, MP4 with AAC, transport stream with AC-3, each
        with a small picture). "Times real time" is the length of all files, one after another, over the
        median time. Resident memory is the peak the operating system reports for the process (VmHWM),
        natives and mapped libraries included.
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

  private String measure(BenchShoot shoot, Path workFolder, double done)
      throws MediaException, IOException {
    monitor.progress("making media", done);
    Path media = Files.createDirectory(workFolder.resolve("media"));
    long soundSeconds = shoot.make(media);
    List<Double> seconds = new ArrayList<>();
    long largestKib = 0;
    for (int run = 0; run < RUNS; run++) {
      monitor.checkCancelled();
      monitor.progress("hand-over " + (run + 1) + " of " + RUNS, done);
      Path target = workFolder.resolve("handover");
      Run result = run(media, target);
      seconds.add(result.seconds());
      largestKib = Math.max(largestKib, result.peakKib());
      FolderTree.delete(target);
    }
    FolderTree.delete(media);
    seconds.sort(Comparator.naturalOrder());
    double median = seconds.get(seconds.size() / 2);
    return String.format(
        Locale.ROOT,
        "| %d min event, %d clips of %d s | %d min %d s | %.1f s (%.1f to %.1f) | %.0f | %s |",
        shoot.eventSeconds() / 60,
        BenchShoot.CLIPS,
        shoot.clipSeconds(),
        soundSeconds / 60,
        soundSeconds % 60,
        median,
        seconds.get(0),
        seconds.get(seconds.size() - 1),
        soundSeconds / median,
        largestKib == 0 ? "not known here" : largestKib / 1024 + " MiB");
  }

  private record Run(double seconds, long peakKib) {}

  private Run run(Path media, Path target) throws IOException {
    List<String> line = new ArrayList<>(command);
    line.addAll(List.of("handover", media.toString(), "--out", target.toString(), "--quiet"));
    long start = System.nanoTime();
    Process process =
        new ProcessBuilder(line)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    long peak = 0;
    try {
      while (!process.waitFor(20, TimeUnit.MILLISECONDS)) {
        peak = Math.max(peak, peakKib(process.pid()));
      }
    } catch (InterruptedException e) {
      process.destroy();
      Thread.currentThread().interrupt();
    }
    double seconds = (System.nanoTime() - start) / 1e9;
    if (process.exitValue() != 0) {
      throw new IOException("the hand-over ended with exit code " + process.exitValue());
    }
    return new Run(seconds, peak);
  }

  /** Peak resident memory as Linux tells it, 0 where it does not. */
  private static long peakKib(long pid) {
    Path status = Path.of("/proc", Long.toString(pid), "status");
    try {
      for (String line : Files.readAllLines(status, StandardCharsets.UTF_8)) {
        if (line.startsWith("VmHWM:")) {
          return Long.parseLong(line.replaceAll("[^0-9]", ""));
        }
      }
    } catch (IOException e) {
      return 0;
    }
    return 0;
  }
}
