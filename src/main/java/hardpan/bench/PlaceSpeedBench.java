package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.bench.LineUpTrial.Codec;
import hardpan.bench.LineUpTrial.Feed;
import hardpan.bench.LineUpTrial.Noise;
import hardpan.bench.LineUpTrial.Relation;
import hardpan.lineup.Candidate;
import hardpan.lineup.Placement;
import hardpan.media.SourceReader;
import hardpan.signal.Fft;
import hardpan.signal.Statistics;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;

/**
 * How long it takes to place clips of a minute in a recording of eight hours, and how long the
 * plain way takes that knows no features: the correlation of all samples by Fourier transforms.
 *
 * <p>Times are processor time of the thread, so that other work on the machine does not count; wall
 * clock is told too.
 */
public final class PlaceSpeedBench {
  private static final int DAY = 9;

  /** One channel each: an hour and a bit, three hours, eight hours. */
  private static final List<Integer> LENGTHS = List.of(6, 8, DAY);

  private static final int CLIPS = 60;
  private static final double CLIP_SECONDS = 60;
  private static final int THREADS = 2;
  private static final String MEMORY = "MEMORY";
  private static final int PLAIN_SIZE = 1 << 23;

  private final Path voices;
  private final Path music;
  private final long seed;
  private final @Nullable Path workFolder;
  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param voices folder with recorded voices
   * @param music folder with recorded music
   * @param seed seed of the event and the clips
   * @param workFolder the recording is kept here and used again; null for a temporary folder
   */
  public PlaceSpeedBench(
      Path voices, Path music, long seed, @Nullable Path workFolder, Monitor monitor) {
    this.voices = voices;
    this.music = music;
    this.seed = seed;
    this.workFolder = workFolder;
    this.monitor = monitor;
  }

  /** A clip with its true place. */
  private record Clip(Candidate candidate, double offsetSeconds) {}

  /** Seconds of processor and of wall clock. */
  private record Cost(double processorSeconds, double wallSeconds, double errorMs) {}

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if the recordings cannot be read or the media cannot be made
   * @throws IOException if a folder cannot be used
   */
  public String page() throws MediaException, IOException {
    Path own = workFolder;
    Path folder = own == null ? Files.createTempDirectory("hardpan-places-") : own;
    Files.createDirectories(folder);
    Path clipFolder = Files.createTempDirectory(folder, "clips-");
    try {
      SoundBank bank = SoundBank.load(voices, music, seed);
      ReferencePool pool = new ReferencePool(bank, seed, folder);
      LineUpReference reference = pool.get(DAY, monitor);
      List<Clip> clips = clips(reference, bank, clipFolder);
      // The first one makes the recording's spectra, and the virtual machine warm.
      place(reference, clips.get(0));
      place(reference, clips.get(1));
      List<Cost> single = new ArrayList<>();
      for (Clip clip : clips) {
        single.add(place(reference, clip));
      }
      monitor.progress("placing all clips", 0);
      long began = System.nanoTime();
      List<Cost> all = together(reference, clips);
      double wall = (System.nanoTime() - began) / 1e9;
      Cost plain = plain(reference, clips.get(0));
      return page(reference, single, all, wall, plain).replace(MEMORY, memory(pool, clips.get(0)));
    } finally {
      FolderTree.delete(own == null ? folder : clipFolder);
    }
  }

  /** Memory in use once a clip was placed in recordings of several lengths. */
  private String memory(ReferencePool pool, Clip clip) throws MediaException, IOException {
    List<String> rows = new ArrayList<>();
    for (int number : LENGTHS) {
      LineUpReference reference = pool.get(number, monitor);
      place(reference, clip);
      long before = usedBytes();
      LineUpReference again = pool.again(number, monitor);
      place(again, clip);
      long after = usedBytes();
      rows.add(
          String.format(
              Locale.ROOT,
              "| %.1f hours | %.1f MiB | %.1f MiB |",
              again.kind().seconds() / 3600.0,
              after / 1048576.0,
              (after - before) / 1048576.0));
    }
    return String.join("\n", rows);
  }

  /** What is in use after everything that is not was collected. */
  private static long usedBytes() {
    Runtime runtime = Runtime.getRuntime();
    for (int i = 0; i < 3; i++) {
      runtime.gc();
    }
    return runtime.totalMemory() - runtime.freeMemory();
  }

  private String page(
      LineUpReference reference, List<Cost> single, List<Cost> all, double wall, Cost plain) {
    double[] processor = single.stream().mapToDouble(Cost::processorSeconds).toArray();
    double median = Statistics.quantile(processor, 0.5);
    double worst = all.stream().mapToDouble(cost -> Math.abs(cost.errorMs())).max().orElse(0);
    return String.format(
        Locale.ROOT,
        """
        ## Placing clips

        Measured by `hardpan bench places` (seed %d): clips of %.0f s, a console's feed with noise 10 to 30 dB below it and a clock
        up to 100 ppm off, placed in a recording of %.0f hours, one channel at 48 kHz. The maps and spectra of both were made before, as
        the job does it while it reads. Processor time is that of the thread, so other work on the machine does not count.

        | | processor | wall clock |
        |---|---|---|
        | one clip, one core: median of %d | %.0f ms (%.0f to %.0f) | %.0f ms |
        | %d clips, two threads | %.1f s | %.1f s |
        | one clip by correlating all samples, one core | %.1f s | %.1f s |

        The last row is the plain way, written here with the same transform library: the recording in blocks of 2^23 samples, each
        correlated with the whole clip by Fourier transforms, the highest value taken; one hour was done and its time multiplied (the place was %.3f ms off; it says nothing of
        drift, of a second place, or of a stranger). **It takes %.0f times the processor time of the line-up.** The largest error
        of the %d placed clips was %.4f ms.

        Memory (heap in use after a collection, the sounds of this bench included; beside it what a recording
        adds that is opened anew and kept after a clip was placed in it):

        | recording | heap in use | added by the recording |
        |---|---|---|
        MEMORY

        Maps and spectra lie in scratch files: about 13 MB on the disk for an hour of one channel, no more in memory for a longer one.

        Machine: %d cores, %s %s, Java %s. Date: %s.
        """,
        seed,
        CLIP_SECONDS,
        reference.kind().seconds() / 3600.0,
        single.size(),
        1000 * median,
        1000 * Statistics.quantile(processor, 0),
        1000 * Statistics.quantile(processor, 1),
        1000 * Statistics.quantile(single.stream().mapToDouble(Cost::wallSeconds).toArray(), 0.5),
        all.size(),
        all.stream().mapToDouble(Cost::processorSeconds).sum(),
        wall,
        plain.processorSeconds(),
        plain.wallSeconds(),
        plain.errorMs(),
        plain.processorSeconds() / median,
        all.size(),
        worst,
        Runtime.getRuntime().availableProcessors(),
        System.getProperty("os.name"),
        System.getProperty("os.arch"),
        System.getProperty("java.version"),
        LocalDate.now(ZoneOffset.UTC));
  }

  private List<Clip> clips(LineUpReference reference, SoundBank bank, Path folder)
      throws MediaException {
    List<Clip> clips = new ArrayList<>();
    SplittableRandom dice = new SplittableRandom(seed ^ 0x517E);
    for (int i = 0; i < CLIPS; i++) {
      monitor.progress("making clips", (double) i / CLIPS);
      double start = dice.nextDouble(1, reference.kind().seconds() - CLIP_SECONDS - 2);
      LineUpTrial trial =
          new LineUpTrial(
              2 * i,
              dice.nextLong(),
              DAY,
              Relation.BELONGS,
              Feed.CONSOLE,
              start,
              CLIP_SECONDS,
              dice.nextDouble(-100, 100),
              48_000,
              dice.nextDouble(10, 30),
              Noise.PINK,
              0,
              1,
              0,
              false,
              false,
              0,
              Codec.PCM);
      Path file = folder.resolve("clip-" + i + ".mov");
      new ClipMaker(trial, bank, reference.eventSeed(), false).make(file);
      clips.add(new Clip(LineUpReference.read(file, "clip-" + i, folder, monitor), start));
    }
    return clips;
  }

  private Cost place(LineUpReference reference, Clip clip) throws MediaException {
    long wall = System.nanoTime();
    long processor = processorNanos();
    Placement placement = reference.lineUp().place(clip.candidate(), monitor);
    double used = (processorNanos() - processor) / 1e9;
    Double offset = placement.offsetSeconds();
    double error = offset == null ? Double.NaN : 1000 * (offset - clip.offsetSeconds());
    return new Cost(used, (System.nanoTime() - wall) / 1e9, error);
  }

  private static long processorNanos() {
    return ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
  }

  private List<Cost> together(LineUpReference reference, List<Clip> clips)
      throws MediaException, IOException {
    ExecutorService workers =
        Executors.newFixedThreadPool(
            THREADS,
            task -> {
              Thread thread = new Thread(task, "placing clips");
              thread.setDaemon(true);
              return thread;
            });
    try {
      List<Future<Cost>> running = new ArrayList<>();
      for (Clip clip : clips) {
        running.add(workers.submit(() -> place(reference, clip)));
      }
      List<Cost> costs = new ArrayList<>();
      for (Future<Cost> future : running) {
        costs.add(future.get());
      }
      return costs;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException("interrupted");
    } catch (ExecutionException e) {
      throw new IOException("A clip could not be placed: " + e.getCause(), e);
    } finally {
      workers.shutdownNow();
    }
  }

  /** Correlates all samples of an hour, block by block, and takes the highest value. */
  private Cost plain(LineUpReference reference, Clip clip) throws MediaException {
    long wall = System.nanoTime();
    long processor = processorNanos();
    int length = (int) clip.candidate().frameCount();
    Fft transform = Fft.ofSize(PLAIN_SIZE);
    float[] probe = new float[PLAIN_SIZE];
    try (SourceReader reader = clip.candidate().sound().open()) {
      float[][] sound = new float[reader.facts().channelCount()][length];
      reader.readAt(0, sound, length);
      System.arraycopy(sound[0], 0, probe, 0, length);
    }
    transform.forward(probe);
    int hop = PLAIN_SIZE - length;
    // One hour around the true place; each hour takes the same.
    int rateHz = reference.candidate().rateHz();
    long all = reference.candidate().frameCount();
    long hour = Math.min(all, 3600L * rateHz);
    long from = Math.round((clip.offsetSeconds() - 1800) * rateHz);
    from = Math.max(0, Math.min(all - hour, from));
    double best = -1;
    long bestLag = 0;
    try (SourceReader reader = reference.candidate().sound().open()) {
      float[][] block = new float[1][PLAIN_SIZE];
      for (long at = from; at < from + hour; at += hop) {
        monitor.progress("correlating all samples", (double) (at - from) / hour);
        monitor.checkCancelled();
        float[] sum = new float[PLAIN_SIZE];
        int got = reader.readAt(at, block, PLAIN_SIZE);
        Arrays.fill(block[0], Math.max(0, got), PLAIN_SIZE, 0);
        transform.forward(block[0]);
        Fft.addCrossSpectrum(block[0], probe, sum);
        transform.inverse(sum);
        for (int i = 0; i < hop; i++) {
          if (Math.abs(sum[i]) > best) {
            best = Math.abs(sum[i]);
            bestLag = at + i;
          }
        }
      }
    }
    double hours = (double) all / hour;
    double seconds = (double) bestLag / rateHz;
    return new Cost(
        hours * (processorNanos() - processor) / 1e9,
        hours * (System.nanoTime() - wall) / 1e9,
        1000 * (seconds - clip.offsetSeconds()));
  }
}
