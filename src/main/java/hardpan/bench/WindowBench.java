package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.shoot.ShootException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Random;

/**
 * Makes the clips for measuring how fast the picture of a large shoot is drawn.
 *
 * @param <E> what the room with the window says where there is no screen
 */
public final class WindowBench<E extends Exception> {
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 3600;
  private static final int LOOP_SECONDS = 60;
  private static final long SEED = 20_270_719;

  private final Measuring<E> measuring;
  private final Monitor monitor;

  /** Shows clips in a window, moves about in it and measures. */
  @FunctionalInterface
  public interface Measuring<E extends Exception> {
    /**
     * Does it.
     *
     * @param clips two clips of an hour, one of plain samples, one compressed
     * @return a Markdown table with a sentence or two
     * @throws E if there is no screen
     * @throws ShootException if the clips cannot be read
     */
    String table(List<Path> clips, Monitor monitor) throws E, ShootException;
  }

  /**
   * A bench.
   *
   * @param measuring the room with the window
   * @param monitor progress and cancel
   */
  public WindowBench(Measuring<E> measuring, Monitor monitor) {
    this.measuring = measuring;
    this.monitor = monitor;
  }

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws E if there is no screen
   * @throws MediaException if the clips cannot be made
   * @throws ShootException if they cannot be read
   * @throws IOException if there is no room for them
   */
  public String section() throws E, MediaException, ShootException, IOException {
    Path folder = Files.createTempDirectory("hardpan-bench-");
    try {
      monitor.progress("making a clip of plain samples", 0);
      Path plain = clip(folder.resolve("A001.mov"), "mov", "pcm_s16le");
      monitor.progress("making a compressed clip", 0.1);
      Path compressed = clip(folder.resolve("B001.mov"), "mov", "ac3");
      return """
          ## The picture of the shoot

          Measured by `hardpan bench window`: the whole window with a shoot of 100 clips of an hour, two channels each, of
          ten cameras; half of the clips are plain samples, half are compressed (AC-3), and samples are read in the background
          while the picture is close. Each row moves a step with each picture of the screen. *Draw* is the processor time of the
          window's thread for filling the pixels and writing the words; *window's thread* and *render thread* is all the
          processor time these two spend on a picture, whatever else the machine does; *interval* is the time from one picture
          to the next, 16.7 ms where the screen sets the pace at 60 a second.

          %s
          Machine: %d cores, %s %s, Java %s. Date: %s.
          """
          .formatted(
              measuring.table(List.of(plain, compressed), monitor),
              Runtime.getRuntime().availableProcessors(),
              System.getProperty("os.name"),
              System.getProperty("os.arch"),
              System.getProperty("java.version"),
              LocalDate.now(ZoneOffset.UTC));
    } finally {
      FolderTree.delete(folder);
    }
  }

  private Path clip(Path file, String container, String codec) throws MediaException {
    float[][] loop = loop();
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings(container, codec, RATE_HZ, 2, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      for (int at = 0; at < SECONDS; at += LOOP_SECONDS) {
        monitor.checkCancelled();
        writer.write(loop, loop[0].length);
      }
    }
    return file;
  }

  /** Bursts of noise as speech has them; on the right some of them are cut off. */
  private static float[][] loop() {
    Random random = new Random(SEED);
    float[][] sound = new float[2][LOOP_SECONDS * RATE_HZ];
    for (int channel = 0; channel < 2; channel++) {
      int at = 0;
      while (at < sound[channel].length) {
        int length = RATE_HZ / 20 + random.nextInt(RATE_HZ / 2);
        boolean hot = channel == 1 && random.nextInt(4) == 0;
        double level = random.nextInt(3) == 0 ? 0.001 : hot ? 1 : 0.1 * random.nextDouble();
        for (int i = 0; i < length && at < sound[channel].length; i++, at++) {
          double value = level * random.nextGaussian();
          sound[channel][at] = (float) Math.max(-0.9, Math.min(0.9, value));
        }
      }
    }
    return sound;
  }
}
