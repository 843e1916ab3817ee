package hardpan.bench;

import hardpan.verdict.PairVerdict;
import hardpan.verdict.PairVerdict.Relation;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/** Counts pair verdicts against the truth. */
final class PairTally {
  private final WordTable table =
      new WordTable(Arrays.stream(Relation.values()).map(Relation::word).toList());
  private final Map<String, int[]> byCodec = new TreeMap<>();
  private final Map<String, int[]> byKind = new TreeMap<>();
  private final List<Double> confidences = new ArrayList<>();
  private final List<Boolean> rights = new ArrayList<>();
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
    confidences.add(pair == null ? 0 : pair.confidence());
    rights.add(right);
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
    return rights.isEmpty() ? 1 : (double) right() / rights.size();
  }

  private long right() {
    return rights.stream().filter(r -> r).count();
  }

  int trials() {
    return rights.size();
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
    StringBuilder text =
        new StringBuilder("| told confidence | mean told | right | of |\n|---|---:|---:|---:|\n");
    double[] edges = {0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.001};
    for (int e = 0; e + 1 < edges.length; e++) {
      int count = 0;
      int right = 0;
      double sum = 0;
      for (int i = 0; i < rights.size(); i++) {
        double told = confidences.get(i);
        if (told >= edges[e] && told < edges[e + 1]) {
          count++;
          right += rights.get(i) ? 1 : 0;
          sum += told;
        }
      }
      if (count > 0) {
        text.append(
            String.format(
                Locale.ROOT,
                "| %.2f to %.2f | %.3f | %.1f %% | %d |%n",
                edges[e],
                Math.min(1, edges[e + 1]),
                sum / count,
                100.0 * right / count,
                count));
      }
    }
    return text.toString();
  }
}
