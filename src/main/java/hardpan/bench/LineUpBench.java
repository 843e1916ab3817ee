package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Candidate;
import hardpan.lineup.Placement;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;

/**
 * Places many made clips on made references and compares with the truth. Voices and music are
 * recorded ones; clocks, rooms, noise and preamplifiers are made; codecs are the real ones.
 */
public final class LineUpBench {
  /** Seed of the published set; development used others. */
  public static final long PUBLISHED_SEED = 20_281_201;

  private final Settings settings;
  private final Monitor monitor;

  /**
   * What to run.
   *
   * @param voices folder with recorded voices
   * @param music folder with recorded music
   * @param trials how many trials
   * @param only number of a single trial to run; null for all
   * @param seed seed of the set
   * @param workFolder references are kept here and used again; null for a temporary folder
   * @param list file to which a line for each trial goes; null for none
   * @param first number of the first trial
   * @param threads how many trials run at once
   * @param minutes after so many no further trial begins; null for no such end
   * @param append file that keeps what became of each trial: trials that it holds are not done
   *     again, and the figures are those of all it holds from the first number on without a gap;
   *     null for none
   */
  public record Settings(
      Path voices,
      Path music,
      int trials,
      @Nullable Integer only,
      long seed,
      @Nullable Path workFolder,
      @Nullable Path list,
      int first,
      int threads,
      @Nullable Integer minutes,
      @Nullable Path append) {}

  /** A bench. */
  public LineUpBench(Settings settings, Monitor monitor) {
    this.settings = settings;
    this.monitor = monitor;
  }

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if the recordings cannot be read or the media cannot be made
   * @throws IOException if a folder cannot be used
   */
  public String page() throws MediaException, IOException {
    Path own = settings.workFolder();
    Path folder = own == null ? Files.createTempDirectory("hardpan-lineup-") : own;
    Files.createDirectories(folder);
    try {
      SoundBank bank = SoundBank.load(settings.voices(), settings.music(), settings.seed());
      ReferencePool pool = new ReferencePool(bank, settings.seed(), folder);
      Path append = settings.append();
      LineUpResults results =
          append == null || settings.only() != null
              ? null
              : new LineUpResults(append, settings.seed(), pool);
      List<LineUpOutcome> outcomes = outcomes(pool, folder, results);
      if (results != null) {
        outcomes = results.from(settings.first());
      }
      if (settings.only() != null) {
        return outcomes.get(0).line() + "\n";
      }
      return new LineUpFigures(outcomes, settings.seed(), settings.first()).page();
    } finally {
      if (own == null) {
        FolderTree.delete(folder);
      }
    }
  }

  private List<LineUpOutcome> outcomes(
      ReferencePool pool, Path folder, @Nullable LineUpResults results)
      throws MediaException, IOException {
    Integer only = settings.only();
    List<LineUpTrial> trials = new ArrayList<>();
    for (int i = settings.first(); i < settings.first() + settings.trials(); i++) {
      boolean isDone = results != null && results.has(i);
      if (!isDone && (only == null || only == i)) {
        trials.add(LineUpTrial.of(settings.seed(), i, pool));
      }
    }
    if (trials.isEmpty() && only != null) {
      trials.add(LineUpTrial.of(settings.seed(), only, pool));
    }
    AtomicInteger done = new AtomicInteger();
    ExecutorService workers =
        Executors.newFixedThreadPool(
            Math.max(1, settings.threads()),
            task -> {
              Thread thread = new Thread(task, "line-up trials");
              thread.setDaemon(true);
              return thread;
            });
    try {
      long began = System.nanoTime();
      List<Future<@Nullable LineUpOutcome>> running = new ArrayList<>();
      for (LineUpTrial trial : trials) {
        running.add(
            workers.submit(
                () -> {
                  if (isOver(began)) {
                    return null;
                  }
                  LineUpOutcome outcome = run(trial, pool, folder);
                  monitor.progress("trials", (double) done.incrementAndGet() / trials.size());
                  note(outcome);
                  if (results != null) {
                    results.add(outcome);
                  }
                  return outcome;
                }));
      }
      List<LineUpOutcome> outcomes = new ArrayList<>();
      for (Future<@Nullable LineUpOutcome> future : running) {
        LineUpOutcome outcome = get(future);
        if (outcome != null) {
          outcomes.add(outcome);
        }
      }
      return outcomes;
    } finally {
      workers.shutdownNow();
    }
  }

  private boolean isOver(long beganNanos) {
    Integer minutes = settings.minutes();
    return minutes != null && System.nanoTime() - beganNanos > minutes * 60_000_000_000L;
  }

  /** Adds a trial's line to the list at once, so that a cut run leaves what it found. */
  private synchronized void note(LineUpOutcome outcome) throws IOException {
    Path list = settings.list();
    if (list != null) {
      Files.writeString(
          list,
          outcome.line() + "\n",
          StandardCharsets.UTF_8,
          StandardOpenOption.CREATE,
          StandardOpenOption.APPEND);
    }
  }

  private static @Nullable LineUpOutcome get(Future<@Nullable LineUpOutcome> future)
      throws MediaException, IOException {
    try {
      return future.get();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException("interrupted");
    } catch (ExecutionException e) {
      if (e.getCause() instanceof MediaException media) {
        throw media;
      }
      if (e.getCause() instanceof CancellationException cancelled) {
        throw cancelled;
      }
      throw new IOException("A trial failed: " + e.getCause(), e);
    }
  }

  private LineUpOutcome run(LineUpTrial trial, ReferencePool pool, Path folder)
      throws MediaException, IOException {
    monitor.checkCancelled();
    LineUpReference reference = pool.get(trial.reference(), monitor);
    Path own = Files.createTempDirectory(folder, "trial-");
    try {
      ClipMaker maker =
          new ClipMaker(trial, pool.bank(), reference.eventSeed(), reference.kind().playbacks());
      Path file = own.resolve("clip." + trial.codec().container);
      maker.make(file);
      Candidate clip = LineUpReference.read(file, "clip", own, monitor);
      long start = System.nanoTime();
      Placement placement = reference.lineUp().place(clip, monitor);
      double seconds = (System.nanoTime() - start) / 1e9;
      return LineUpOutcome.of(trial, reference, clip, maker.flightSeconds(), placement, seconds);
    } finally {
      FolderTree.delete(own);
    }
  }
}
