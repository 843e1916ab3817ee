package hardpan.shoot;

import hardpan.media.SourceFacts;
import hardpan.verdict.Finding;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.CancellationException;

/**
 * Finds the runs of a shoot: files of one device and one format whose names are a series, put
 * together where {@link JoinJudge} finds that the later goes on where the earlier ends; and files
 * that were written side by side.
 */
final class RunFinder {
  private static final int MOST_MISSING = 10;
  private static final double MISSING_TOLERANCE_SECONDS = 3;

  private final List<ShootSource> sources;
  private final Map<String, List<Finding>> findings = new HashMap<>();
  private final Map<String, Run> runByPath = new HashMap<>();

  private RunFinder(List<ShootSource> sources) {
    this.sources = sources;
  }

  /**
   * What was found.
   *
   * @param runs every source is in one of them, in the order of their first sources
   * @param findings what is to be said of sources, by path
   */
  record Found(List<Run> runs, Map<String, List<Finding>> findings) {}

  /** Finds them; where that fails unexpectedly, every source is a run of its own. */
  static Found find(List<ShootSource> sources) {
    try {
      return new RunFinder(sources).find();
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      return new RunFinder(sources).numbered();
    }
  }

  private Found find() {
    Map<String, List<ShootSource>> groups = new LinkedHashMap<>();
    for (ShootSource source : sources) {
      if (source.isReadable()) {
        groups.computeIfAbsent(likeness(source), key -> new ArrayList<>()).add(source);
      }
    }
    groups.values().forEach(this::findIn);
    return numbered();
  }

  private Found numbered() {
    List<Run> runs = new ArrayList<>();
    Set<String> done = new HashSet<>();
    Map<String, Integer> numbers = new HashMap<>();
    for (ShootSource source : sources) {
      Run run = runByPath.getOrDefault(source.path(), Run.of(source));
      if (!done.contains(source.path())) {
        done.addAll(run.paths());
        runs.add(run.numbered(numbers.merge(run.device(), 1, Integer::sum)));
      }
    }
    return new Found(runs, findings);
  }

  /** What files of one run have in common. */
  private static String likeness(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      return source.path();
    }
    SourceFacts facts = analysis.facts();
    // A source in no folder has a device made of its own name.
    String device = source.path().contains("/") ? source.device() : "";
    return String.join(
        "|",
        device,
        source.kind().name(),
        facts.container(),
        facts.codec(),
        Integer.toString(facts.rateHz()),
        String.valueOf(facts.bitsPerSample()),
        Integer.toString(facts.channelCount()));
  }

  /** A possible cut. */
  private record Pair(int before, int after, int steps, JoinJudge.Verdict verdict) {}

  /** What cannot be judged for whatever reason stays apart: no join is worth losing the shoot. */
  private void findIn(List<ShootSource> group) {
    try {
      findInGroup(group);
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      for (ShootSource source : group) {
        runByPath.remove(source.path());
        findings.remove(source.path());
      }
    }
  }

  private static JoinJudge.Verdict judged(Strip before, Strip after, boolean stampsAreEnds) {
    try {
      return JoinJudge.judge(before, after, stampsAreEnds);
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      return JoinJudge.Verdict.apart("it could not be judged");
    }
  }

  private void findInGroup(List<ShootSource> group) {
    List<Strip> strips = SideBySide.strips(group);
    List<PartTimes.Pair> neighbours = new ArrayList<>();
    for (Strip before : strips) {
      for (Strip after : strips) {
        if (before.stepsTo(after) == 1) {
          neighbours.add(new PartTimes.Pair(before.first(), after.first()));
        }
      }
    }
    boolean stampsAreEnds = PartTimes.stampsAreEnds(neighbours);
    List<Pair> pairs = new ArrayList<>();
    for (int before = 0; before < strips.size(); before++) {
      for (int after = 0; after < strips.size(); after++) {
        if (before != after && strips.get(before).stepsTo(strips.get(after)) == 1) {
          JoinJudge.Verdict verdict = judged(strips.get(before), strips.get(after), stampsAreEnds);
          pairs.add(new Pair(before, after, 1, verdict));
        }
      }
    }
    pairs.sort(
        Comparator.comparing((Pair pair) -> pair.verdict().answer())
            .thenComparing(pair -> -pair.verdict().weight()));
    Map<Integer, Pair> next = new TreeMap<>();
    Map<Integer, Integer> previous = new HashMap<>();
    for (Pair pair : pairs) {
      if (pair.verdict().joins()
          && !next.containsKey(pair.before())
          && !previous.containsKey(pair.after())
          && last(pair.after(), next) != pair.before()) {
        next.put(pair.before(), pair);
        previous.put(pair.after(), pair.before());
      }
    }
    for (int first = 0; first < strips.size(); first++) {
      if (!previous.containsKey(first)) {
        addRun(first, strips, next);
      }
    }
    tellOfBreaks(strips, pairs, next, previous);
    tellOfMissing(strips, next, previous);
  }

  private static int last(int from, Map<Integer, Pair> next) {
    int at = from;
    for (Pair pair = next.get(at); pair != null; pair = next.get(at)) {
      at = pair.after();
    }
    return at;
  }

  private void addRun(int first, List<Strip> strips, Map<Integer, Pair> next) {
    List<Run.Part> parts = new ArrayList<>();
    List<Run.Join> joins = new ArrayList<>();
    long start = 0;
    int at = first;
    while (true) {
      Strip strip = strips.get(at);
      List<String> paths = strip.sources().stream().map(ShootSource::path).toList();
      parts.add(new Run.Part(paths, start, strip.frameCount()));
      Pair pair = next.get(at);
      if (pair == null) {
        break;
      }
      JoinJudge.Verdict verdict = pair.verdict();
      boolean proved = verdict.answer() == JoinJudge.Answer.PROVED;
      joins.add(new Run.Join(proved, verdict.isOneStream(), verdict.why()));
      if (!proved) {
        say(
            strips.get(pair.after()),
            "likely-join",
            Finding.Severity.NOTE,
            Map.of("nats", verdict.weight()),
            "It is joined to " + strip.first().path() + " without proof: " + verdict.why() + ".",
            "Listen to the cut.");
      }
      start += verdict.startFrame();
      at = pair.after();
    }
    ShootSource head = strips.get(first).first();
    Run run = new Run(head.device(), head.runNumber(), parts, joins);
    run.paths().forEach(path -> runByPath.put(path, run));
  }

  /** Where times and names promised a join that the sound refuses, something is missing. */
  private void tellOfBreaks(
      List<Strip> strips,
      List<Pair> pairs,
      Map<Integer, Pair> next,
      Map<Integer, Integer> previous) {
    for (Pair pair : pairs) {
      boolean open = !next.containsKey(pair.before()) && !previous.containsKey(pair.after());
      if (open
          && pair.verdict().answer() == JoinJudge.Answer.REFUSED
          && pair.verdict().times().agree()) {
        say(
            strips.get(pair.after()),
            "broken-join",
            Finding.Severity.NOTE,
            Map.of("nats", pair.verdict().weight()),
            "By name and time it could go on from "
                + strips.get(pair.before()).first().path()
                + ", but "
                + pair.verdict().why()
                + "; the two stay apart.",
            "If they belong to one take, some sound is lost between them.");
      }
    }
  }

  /** Names parts that are not there, where times leave a hole of just their length. */
  private void tellOfMissing(
      List<Strip> strips, Map<Integer, Pair> next, Map<Integer, Integer> previous) {
    for (int before = 0; before < strips.size(); before++) {
      for (int after = 0; after < strips.size(); after++) {
        int steps = before == after ? 0 : strips.get(before).stepsTo(strips.get(after));
        if (steps >= 2
            && steps <= MOST_MISSING + 1
            && !next.containsKey(before)
            && !previous.containsKey(after)
            && isFirstAfter(before, after, steps, strips)) {
          tellOfHole(strips.get(before), strips.get(after), steps - 1);
        }
      }
    }
  }

  /** Whether no file of the shoot, readable or not, stands between the two names. */
  private static boolean isFirstAfter(int before, int after, int steps, List<Strip> strips) {
    for (int other = 0; other < strips.size(); other++) {
      int own = other == after ? 0 : strips.get(before).stepsTo(strips.get(other));
      if (own > 0 && own < steps) {
        return false;
      }
    }
    return true;
  }

  private void tellOfHole(Strip before, Strip after, int count) {
    Analysis analysis = before.first().analysis();
    PartTimes times = PartTimes.between(before.first(), after.first(), false);
    if (analysis == null || times.says() != PartTimes.Says.DISAGREE || times.onDisk()) {
      return;
    }
    double expected = count * analysis.durationSeconds();
    double tolerance = MISSING_TOLERANCE_SECONDS + 0.001 * expected;
    if (Math.abs(times.gapSeconds() - expected) > tolerance) {
      return;
    }
    String length =
        String.format(
            Locale.ROOT,
            "%d:%02d min",
            Math.round(times.gapSeconds()) / 60,
            Math.round(times.gapSeconds()) % 60);
    say(
        after,
        "missing-part",
        Finding.Severity.FAULT,
        Map.of("missingFiles", count, "missingSeconds", times.gapSeconds()),
        (count == 1 ? "A part is missing" : count + " parts are missing")
            + " between "
            + before.first().path()
            + " and this file: the names leave out "
            + (count == 1 ? "one number" : count + " numbers")
            + " and the time stamps a hole of "
            + length
            + ", the length of "
            + (count == 1 ? "one part." : "as many parts."),
        "Look for it on the card. Until then the two sides stay apart on the clock.");
  }

  private void say(
      Strip strip,
      String code,
      Finding.Severity severity,
      Map<String, Object> evidence,
      String says,
      String remedy) {
    Finding finding = new Finding(code, severity, List.of(), evidence, says, remedy);
    for (ShootSource source : strip.sources()) {
      findings.computeIfAbsent(source.path(), key -> new ArrayList<>()).add(finding);
    }
  }
}
