package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;

/**
 * Splits a clip of an hour into its two microphones, and has FFmpeg's own {@code channelsplit} do
 * the same to two Wave files, in turns, each as a process of its own.
 */
public final class SplitBench {
  /** What the section begins with. */
  private static final String HEADING = "## Splitting beside FFmpeg";

  private static final int RUNS = 5;
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 3600;

  private final List<String> command;
  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param command the start of the command line that runs this program
   * @param monitor progress and cancel
   */
  public SplitBench(List<String> command, Monitor monitor) {
    this.command = List.copyOf(command);
    this.monitor = monitor;
  }

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if the clip cannot be made
   * @throws IOException if a process cannot be run or fails; FFmpeg must be installed
   */
  public String section() throws MediaException, IOException {
    Path folder = Files.createTempDirectory("hardpan-bench-");
    try {
      Path clip = clip(folder.resolve("clip.mov"));
      List<Double> theirs = new ArrayList<>();
      List<Double> whole = new ArrayList<>();
      List<Double> plain = new ArrayList<>();
      List<Double> ratios = new ArrayList<>();
      List<Double> plainRatios = new ArrayList<>();
      for (int run = 0; run < RUNS; run++) {
        monitor.checkCancelled();
        monitor.progress("splitting, round " + (run + 1) + " of " + RUNS, (double) run / RUNS);
        double ffmpeg = time(folder, ffmpeg(clip, folder));
        theirs.add(ffmpeg);
        plain.add(time(folder, split(clip, folder, "--unchecked")));
        plainRatios.add(plain.get(run) / ffmpeg);
        whole.add(time(folder, split(clip, folder)));
        ratios.add(whole.get(run) / ffmpeg);
      }
      return section(theirs, plain, plainRatios, whole, ratios);
    } finally {
      FolderTree.delete(folder);
    }
  }

  private static String section(
      List<Double> theirs,
      List<Double> plain,
      List<Double> plainRatios,
      List<Double> whole,
      List<Double> ratios) {
    return """
        %s

        Measured by `hardpan bench split`: one clip of an hour (MOV, 16-bit PCM, two microphones, 691 MB) into two
        Wave files, %d rounds in turns, each run a process of its own with its start. The ratio is taken round by
        round, so that a busy machine slows both; its median is given, least and most behind it.

        | command | wall clock | beside FFmpeg |
        |---|---|---|
        | `ffmpeg` with the filter `channelsplit` | %s | |
        | `hardpan split --unchecked` | %s | %s |
        | `hardpan split` | %s | %s |

        Machine: %d cores, %s %s, Java %s. Date: %s. FFmpeg writes two files and ends. `--unchecked` forces them to
        the disk, reads them back and compares, takes the SHA-256 of both and of the clip, and writes Broadcast Wave
        chunks, report and lists. `split` also listens to the whole clip first: clipping, overload, how left and right
        relate, loudness, true peak, findings.
        """
        .formatted(
            HEADING,
            RUNS,
            spread(theirs, " s"),
            spread(plain, " s"),
            spread(plainRatios, " times"),
            spread(whole, " s"),
            spread(ratios, " times"),
            Runtime.getRuntime().availableProcessors(),
            System.getProperty("os.name"),
            System.getProperty("os.arch"),
            System.getProperty("java.version"),
            LocalDate.now(ZoneOffset.UTC));
  }

  private static String spread(List<Double> values, String unit) {
    List<Double> sorted = values.stream().sorted().toList();
    return String.format(
        Locale.ROOT,
        "%.2f%s (%.2f to %.2f)",
        sorted.get(sorted.size() / 2),
        unit,
        sorted.get(0),
        sorted.get(sorted.size() - 1));
  }

  private List<String> split(Path clip, Path folder, String... options) {
    List<String> line = new ArrayList<>(command);
    line.addAll(
        List.of("split", clip.toString(), "--out", folder.resolve("out").toString(), "--quiet"));
    line.addAll(List.of(options));
    return line;
  }

  private static List<String> ffmpeg(Path clip, Path folder) throws IOException {
    Path out = Files.createDirectory(folder.resolve("out"));
    return List.of(
        "ffmpeg",
        "-v",
        "error",
        "-nostdin",
        "-i",
        clip.toString(),
        "-filter_complex",
        "[0:a]channelsplit=channel_layout=stereo[l][r]",
        "-map",
        "[l]",
        out.resolve("left.wav").toString(),
        "-map",
        "[r]",
        out.resolve("right.wav").toString());
  }

  private static double time(Path folder, List<String> line) throws IOException {
    long start = System.nanoTime();
    Process process =
        new ProcessBuilder(line)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    try {
      process.waitFor();
    } catch (InterruptedException e) {
      process.destroy();
      Thread.currentThread().interrupt();
    }
    double seconds = (System.nanoTime() - start) / 1e9;
    if (process.exitValue() != 0) {
      throw new IOException(line.get(0) + " ended with exit code " + process.exitValue());
    }
    FolderTree.delete(folder.resolve("out"));
    return seconds;
  }

  /** Two microphones that have nothing to do with each other: bursts of noise, an hour of them. */
  private static Path clip(Path file) throws MediaException {
    float[][] sound = {bursts(1), bursts(2)};
    var settings = new FfmpegClipWriter.Settings("mov", "pcm_s16le", RATE_HZ, 2, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      for (int second = 0; second < SECONDS; second += sound[0].length / RATE_HZ) {
        writer.write(sound, sound[0].length);
      }
    }
    return file;
  }

  /** A minute, repeated for the hour. */
  private static float[] bursts(long seed) {
    Random random = new Random(seed);
    float[] sound = new float[60 * RATE_HZ];
    double level = 0;
    for (int i = 0; i < sound.length; i++) {
      if (i % (RATE_HZ / 8) == 0) {
        level = random.nextInt(4) == 0 ? 0.005 : 0.05 + 0.3 * random.nextDouble();
      }
      sound[i] = (float) (level * (random.nextDouble() * 2 - 1));
    }
    return sound;
  }
}
