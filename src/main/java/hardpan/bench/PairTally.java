package hardpan.bench;

import hardpan.verdict.PairVerdict;
import hardpan.verdict.PairVerdict.Relation;
import hardpan.verdict.Verdicts;
import java.util.Arrays;
import java.util.Map;
import java.util.TreeMap;

/** Counts pair verdicts against the truth. */
final class PairTally {
  private final WordTable table =
      new WordTable(Arrays.stream(Relation.values()).map(Relation::word).toList());
  private final Map<String, int[]> byCodec = new TreeMap<>();
  private final Map<String, int[]> byKind = new TreeMap<>();
  private final Reliability reliability = new Reliability();
  private int trials;
  private int rights;
  private final TrialMisses misses;

  PairTally(TrialMisses misses) {
    this.misses = misses;
  }

  void add(Trial trial, Verdicts verdicts) {
    PairVerdict pair = verdicts.pair();
    Relation truth = trial.sections().get(0).relation();
    Relation found = pair == null ? Relation.UNKNOWN : pair.relation();
    boolean right = truth == found && (pair == null || !pair.changes());
    table.add(truth.word(), found.word());
    count(byCodec, trial.codec().name(), right);
    count(byKind, trial.kind(), right);
    reliability.add(pair == null ? 0 : pair.confidence(), right);
    trials++;
    rights += right ? 1 : 0;
    if (!right) {
      misses.add("pair", trial, truth.word() + " called " + found.word(), String.valueOf(pair));
    }
  }

  private static void count(Map<String, int[]> counts, String key, boolean right) {
    int[] pair = counts.computeIfAbsent(key, k -> new int[2]);
    pair[0] += right ? 1 : 0;
    pair[1]++;
  }

  /** Share right, 0 to 1. */
  double rightShare() {
    return trials == 0 ? 1 : (double) rights / trials;
  }

  int trials() {
    return trials;
  }

  /** The confusion table and the shares by codec and kind. */
  String text() {
    return table.text() + "\n" + shares("codec", byCodec) + "\n" + shares("kind of clip", byKind);
  }

  static String shares(String of, Map<String, int[]> counts) {
    StringBuilder text = new StringBuilder("| " + of + " | right | of |\n|---|---:|---:|\n");
    counts.forEach(
        (key, pair) -> text.append("| " + key + " | " + pair[0] + " | " + pair[1] + " |\n"));
    return text.toString();
  }

  /** Told confidence beside the share that was right. */
  String reliability() {
    return reliability.text();
  }
}
