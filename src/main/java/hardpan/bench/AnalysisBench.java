package hardpan.bench;

import com.sun.management.OperatingSystemMXBean;
import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSteps;
import hardpan.signal.Statistics;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.text.ParseException;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import jdk.jfr.Configuration;
import jdk.jfr.Recording;
import jdk.jfr.consumer.RecordedEvent;
import jdk.jfr.consumer.RecordedFrame;
import jdk.jfr.consumer.RecordingFile;

/** Measures how fast one clip is read and checked, and where the time goes. */
public final class AnalysisBench {
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 600;
  private static final int PIECE_SECONDS = 12;
  private static final int WARM_UP = 2;
  private static final int RUNS = 5;
  private static final int METHODS = 15;
  private static final long SEED = 20270411;

  private final Path voices;
  private final Path music;
  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param voices folder with recorded voices, one folder a speaker
   * @param music folder with recorded music
   * @param monitor progress and cancel
   */
  public AnalysisBench(Path voices, Path music, Monitor monitor) {
    this.voices = voices;
    this.music = music;
    this.monitor = monitor;
  }

  /** What one reading took, in seconds. */
  private record Time(double processor, double wall) {}

  /**
   * Measures and gives the page.
   *
   * @return Markdown
   * @throws MediaException if the clip cannot be made
   * @throws ShootException if it cannot be read
   * @throws IOException if the scratch folder cannot be used
   */
  public String page() throws MediaException, ShootException, IOException {
    monitor.progress("making a clip", 0);
    Path folder = Files.createTempDirectory("hardpan-analysis-");
    try {
      Path clip = clip(folder.resolve("clip.mp4"));
      List<Time> times = new ArrayList<>();
      for (int i = 0; i < WARM_UP + RUNS; i++) {
        monitor.progress("reading it", (double) i / (WARM_UP + RUNS + 1));
        Time time = read(clip);
        if (i >= WARM_UP) {
          times.add(time);
        }
      }
      return text(times, profile(clip, folder.resolve("profile.jfr")));
    } finally {
      FolderTree.delete(folder);
    }
  }

  private Path clip(Path file) throws MediaException {
    TrialSounds sounds = TrialSounds.read(voices, music);
    TrialDice dice = new TrialDice(SEED, "analysis", 0);
    float[][] planar = new float[2][SECONDS * RATE_HZ];
    for (int at = 0; at < planar[0].length; at += PIECE_SECONDS * RATE_HZ) {
      float[] talk = sounds.talk(dice, PIECE_SECONDS, RATE_HZ);
      TrialCraft.toActive(talk, RATE_HZ, -24);
      float[] band = sounds.music(dice, PIECE_SECONDS, RATE_HZ);
      TrialCraft.toActive(band, RATE_HZ, -20);
      int count = Math.min(talk.length, planar[0].length - at);
      System.arraycopy(talk, 0, planar[0], at, count);
      System.arraycopy(band, 0, planar[1], at, count);
    }
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(file, TrialCodec.aac(192).settings(RATE_HZ, 2))) {
      writer.write(planar, planar[0].length);
    }
    return file;
  }

  private Time read(Path clip) throws MediaException, ShootException {
    var system = (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.find(List.of(clip));
      long processor = system.getProcessCpuTime();
      long wall = System.nanoTime();
      steps.read(shoot);
      return new Time(
          (system.getProcessCpuTime() - processor) / 1e9, (System.nanoTime() - wall) / 1e9);
    }
  }

  /** The methods that a sampling profiler met most often, with their shares. */
  private List<String> profile(Path clip, Path file)
      throws MediaException, ShootException, IOException {
    Map<String, Integer> counts = new HashMap<>();
    int total = 0;
    try (Recording recording = new Recording(Configuration.getConfiguration("profile"))) {
      recording.start();
      for (int i = 0; i < RUNS; i++) {
        read(clip);
      }
      recording.stop();
      recording.dump(file);
    } catch (ParseException e) {
      throw new IOException("the profiler's own settings cannot be read", e);
    }
    for (RecordedEvent event : RecordingFile.readAllEvents(file)) {
      boolean sample =
          event.getEventType().getName().equals("jdk.ExecutionSample")
              || event.getEventType().getName().equals("jdk.NativeMethodSample");
      if (sample && event.getStackTrace() != null) {
        RecordedFrame top = event.getStackTrace().getFrames().get(0);
        String type = top.getMethod().getType().getName();
        counts.merge(type + "." + top.getMethod().getName(), 1, Integer::sum);
        total++;
      }
    }
    int all = Math.max(1, total);
    return counts.entrySet().stream()
        .sorted(Map.Entry.<String, Integer>comparingByValue().reversed())
        .limit(METHODS)
        .map(
            entry ->
                String.format(
                    Locale.ROOT,
                    "| `%s` | %.1f %% |",
                    entry.getKey(),
                    100.0 * entry.getValue() / all))
        .toList();
  }

  private static String text(List<Time> times, List<String> methods) {
    double[] processor = times.stream().mapToDouble(Time::processor).sorted().toArray();
    double[] wall = times.stream().mapToDouble(Time::wall).sorted().toArray();
    return String.format(
        Locale.ROOT,
        """
        ## Reading and checking one clip

        Measured by `hardpan bench analysis`: a stereo clip of %d s, AAC at 192 kbit/s, 48 kHz, recorded voices left
        and recorded music right, is read once and everything is measured on the way, decoding included, on one
        thread. %d runs after %d to warm up; processor time is that of the whole process.

        | | median | least to most | times real time |
        |---|---|---|---|
        | processor | %.2f s | %.2f to %.2f s | %.0f |
        | wall clock | %.2f s | %.2f to %.2f s | %.0f |

        Where the samples of a profiler fell (the flight recorder of the Java runtime, methods on top of the
        stack; decoding and the libraries' transforms are native or inlined):

        | method | share |
        |---|---|
        %s

        Machine: %d cores, %s %s, Java %s. Date: %s.
        """,
        SECONDS,
        RUNS,
        WARM_UP,
        Statistics.median(processor),
        processor[0],
        processor[processor.length - 1],
        SECONDS / Statistics.median(processor),
        Statistics.median(wall),
        wall[0],
        wall[wall.length - 1],
        SECONDS / Statistics.median(wall),
        String.join("\n", methods),
        Runtime.getRuntime().availableProcessors(),
        System.getProperty("os.name"),
        System.getProperty("os.arch"),
        System.getProperty("java.version"),
        LocalDate.now(ZoneOffset.UTC));
  }
}
