package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.verdict.Verdicts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;

/**
 * Makes seeded clips of known truth from recorded and made sounds, runs the verdicts on each, and
 * counts how often they are right.
 */
public final class VerdictBench {
  /** Made and judged on all processors; a trial depends on its seed and number only. */
  private static final int WORKERS = Runtime.getRuntime().availableProcessors();

  private static final String INTRODUCTION =
      """
      Every clip is
      made anew from its seed and number out of recorded voices and music and made ones, with rooms, noise
      and hum, written by the FFmpeg libraries (PCM; AAC at 96 to 320 kbit/s; AC-3; MP3; rates are for both
      channels together), and read back and judged the way the product does. One of them again:
      `--only pair-17`. The verdicts were developed on other seeds than this page's.""";

  private final Path voices;
  private final Path music;
  private final long seed;
  private final int pairTrials;
  private final Monitor monitor;
  private final TrialMisses misses = new TrialMisses();
  private final PairTally pairs = new PairTally(misses);
  private final OverloadTally overloads = new OverloadTally(misses);
  private final FindingTally findings = new FindingTally(misses);
  private @Nullable PlacedTrials placed;

  /**
   * A bench.
   *
   * @param voices folder with recorded voices, one folder a speaker
   * @param music folder with recorded music
   * @param seed another seed is another set of clips
   * @param pairTrials how many clips ask for left against right; the other families follow in
   *     proportion
   * @param monitor progress and cancel
   */
  public VerdictBench(Path voices, Path music, long seed, int pairTrials, Monitor monitor) {
    this.voices = voices;
    this.music = music;
    this.seed = seed;
    this.pairTrials = pairTrials;
    this.monitor = monitor;
  }

  /** A family of trials and what counts them. */
  private record Family(String name, int count, Maker maker, Counter counter) {}

  private static final String PLACED = "placed";

  private interface Maker {
    Trial make(int index);
  }

  private interface Counter {
    void add(Trial trial, Verdicts verdicts);
  }

  private List<Family> families(TrialSounds sounds) {
    return List.of(
        new Family("pair", pairTrials, new PairTrials(sounds, seed)::make, pairs::add),
        new Family(
            "overload", pairTrials / 2, new OverloadTrials(sounds, seed)::make, overloads::add),
        new Family("hum", pairTrials * 2 / 5, new HumTrials(sounds, seed)::make, findings::addHum),
        new Family(
            "change", pairTrials / 8, new ChangeTrials(sounds, seed)::make, findings::addChange),
        new Family(
            "finding",
            pairTrials * 2 / 5,
            new FindingTrials(sounds, seed)::make,
            findings::addFinding));
  }

  /**
   * Runs all trials, or one.
   *
   * @param only a trial's name as in {@code pair-17}, a family's as in {@code pair}; null for all
   * @return Markdown; for one trial its truth and all its figures
   * @throws MediaException if sounds cannot be read or clips cannot be made
   * @throws IOException if the scratch folder cannot be used
   */
  public String page(@Nullable String only) throws MediaException, IOException {
    monitor.progress("reading voices and music", 0);
    TrialSounds sounds = TrialSounds.read(voices, music);
    Path folder = Files.createTempDirectory("hardpan-trials-");
    try {
      List<Family> families = families(sounds);
      if (only != null && only.contains("-")) {
        return one(families, only, folder);
      }
      long start = System.nanoTime();
      run(families.stream().filter(f -> only == null || f.name.equals(only)).toList(), folder);
      if (only == null || only.equals(PLACED)) {
        runPlaced(sounds, folder);
      }
      return text((System.nanoTime() - start) / 1e9);
    } finally {
      FolderTree.delete(folder);
    }
  }

  /** The trials that came out wrong, one line each. */
  public List<String> misses() {
    return misses.lines();
  }

  private String one(List<Family> families, String only, Path folder)
      throws MediaException, IOException {
    for (Family family : families) {
      if (only.matches(family.name + "-[0-9]{1,7}")) {
        Trial trial = family.maker.make(Integer.parseInt(only.substring(family.name.length() + 1)));
        Verdicts verdicts = TrialRun.judge(trial, folder);
        family.counter.add(trial, verdicts);
        StringBuilder text = new StringBuilder(only + ": " + trial.kind() + "\n");
        text.append(trial.codec() + ", " + trial.rateHz() + " Hz\n");
        trial.sections().forEach(section -> text.append("truth: " + section + "\n"));
        trial.sides().forEach(side -> text.append("truth: " + side + "\n"));
        text.append(verdicts.pair()).append('\n');
        verdicts.channels().forEach(channel -> text.append(channel).append('\n'));
        return text.toString();
      }
    }
    throw new IOException("there is no trial called " + only);
  }

  private void run(List<Family> families, Path folder) throws MediaException, IOException {
    int total = families.stream().mapToInt(Family::count).sum();
    AtomicInteger done = new AtomicInteger();
    for (Family family : families) {
      all(
          family.count,
          index -> {
            Trial trial = family.maker.make(index);
            Verdicts verdicts = TrialRun.judge(trial, folder);
            synchronized (misses) {
              family.counter.add(trial, verdicts);
            }
            monitor.progress("trials", (double) done.incrementAndGet() / total);
          });
    }
  }

  private void runPlaced(TrialSounds sounds, Path folder) throws MediaException, IOException {
    PlacedTrials trials = new PlacedTrials(sounds, seed);
    all(pairTrials / 8, index -> trials.run(index, folder));
    placed = trials;
  }

  private interface Work {
    void run(int index) throws MediaException, IOException;
  }

  /** On all processors; the first failure ends it. */
  private void all(int count, Work work) throws MediaException, IOException {
    AtomicInteger threads = new AtomicInteger();
    ExecutorService workers =
        Executors.newFixedThreadPool(
            WORKERS, step -> new Thread(step, "trial-" + threads.incrementAndGet()));
    try {
      List<Future<?>> running = new ArrayList<>();
      for (int i = 0; i < count; i++) {
        int index = i;
        running.add(
            workers.submit(
                () -> {
                  monitor.checkCancelled();
                  work.run(index);
                  return null;
                }));
      }
      for (Future<?> trial : running) {
        trial.get();
      }
    } catch (ExecutionException e) {
      if (e.getCause() instanceof MediaException media) {
        throw media;
      }
      if (e.getCause() instanceof RuntimeException fault) {
        throw fault;
      }
      throw new IOException("a trial could not be run", e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    } finally {
      workers.shutdownNow();
    }
  }

  private String text(double seconds) {
    double[] pcm = overloads.recallAndPrecision(true, "PCM");
    double[] aac = overloads.recallAndPrecision(true, "AAC 128 to 320");
    double[] pcmSoft = overloads.recallAndPrecision(false, "PCM");
    double[] aacSoft = overloads.recallAndPrecision(false, "AAC 128 to 320");
    double[] limiter = overloads.limiter();
    List<String> rows =
        List.of(
                row("pair verdict right", ">= 99 %", percent(pairs.rightShare()), pairs.trials()),
                row("hard clipping found, PCM", ">= 99 %", percent(pcm[0]), pcm[2]),
                row("hard clipping, precision, PCM", ">= 99 %", percent(pcm[1]), pcm[2]),
                row("hard clipping found, AAC 128 and more", ">= 95 %", percent(aac[0]), aac[2]),
                row("hard clipping, precision, AAC", ">= 95 %", percent(aac[1]), aac[2]),
                row("soft clipping found, PCM", "none set", percent(pcmSoft[0]), pcmSoft[2]),
                row("soft clipping found, AAC", "none set", percent(aacSoft[0]), aacSoft[2]),
                row("limiter called clipped", "< 1 %", percent(limiter[0]), limiter[1]),
                row(
                    "span edges within 5 ms, PCM",
                    "all",
                    percent(overloads.edgeShare()),
                    overloads.edges()),
                row(
                    "none, occasional, line-level right",
                    ">= 97 %",
                    percent(overloads.wordShare()),
                    overloads.wordsAsked()),
                row(
                    "excess, hard, up to 20 dB, median error",
                    "<= 2 dB",
                    String.format(Locale.ROOT, "%.1f dB", overloads.excessMedianDb()),
                    overloads.excesses()),
                row(
                    "excess with a placed recorder, median error",
                    "<= 0.5 dB",
                    String.format(
                        Locale.ROOT, "%.2f dB", placed == null ? Double.NaN : placed.medianDb()),
                    placed == null ? 0 : placed.told()),
                row("hum found", ">= 98 %", percent(findings.humShare()), findings.humThere()),
                row(
                    "hum falsely told",
                    "< 1 %",
                    percent(findings.humFalseShare()),
                    findings.humNot()))
            .stream()
            .filter(row -> !row.endsWith(" 0 |"))
            .toList();
    return """
        ## Verdicts on clips of known truth

        Measured by `hardpan bench verdicts --trials %d --seed %d` in %.0f s on %d cores. %s

        | figure | aim | measured | of |
        |---|---|---:|---:|
        %s

        %s
        %s
        %s
        How sure the pair verdict said it was, and how often it was right:

        %s
        The same of cut off or not:

        %s
        The same of none, occasional, line-level:

        %s"""
        .formatted(
            pairTrials,
            seed,
            seconds,
            WORKERS,
            INTRODUCTION,
            String.join("\n", rows),
            pairs.text(),
            overloads.text() + (placed == null ? "" : "\n" + placed.text()),
            findings.changeText() + "\n" + findings.findingText(),
            pairs.reliability(),
            overloads.reliabilityOfCuts(),
            overloads.reliabilityOfWords());
  }

  private static String row(String figure, String aim, String measured, double of) {
    return "| " + figure + " | " + aim + " | " + measured + " | " + (long) of + " |";
  }

  private static String percent(double share) {
    return String.format(Locale.ROOT, "%.1f %%", 100 * share);
  }
}
