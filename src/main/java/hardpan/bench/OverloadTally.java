package hardpan.bench;

import hardpan.base.Span;
import hardpan.signal.Statistics;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Clipping;
import hardpan.verdict.Overload;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/** Counts clipping and overload verdicts against the truth. */
final class OverloadTally {
  private static final double EDGE_SECONDS = 0.005;
  private static final String HEAD =
      """
      | codec | hard cuts found | of | soft cuts found | of | falsely called | of |
      |---|---:|---:|---:|---:|---:|---:|
      """;

  /** Found, missed, falsely called, rightly left alone. */
  private static final class Counts {
    int found;
    int missed;
    int falsely;
    int rightlyNot;
  }

  private final Map<String, Counts> hardByCodec = new TreeMap<>();
  private final Map<String, Counts> softByCodec = new TreeMap<>();
  private final Map<String, Counts> byKind = new TreeMap<>();
  private final Map<String, int[]> words = new TreeMap<>();
  private final WordTable wordTable =
      new WordTable(Arrays.stream(Overload.Verdict.values()).map(Overload.Verdict::word).toList());
  private final Reliability ofCuts = new Reliability();
  private final Reliability ofWords = new Reliability();
  private final List<Double> hardErrors = new ArrayList<>();
  private final List<Double> signedErrors = new ArrayList<>();
  private final List<Double> hotErrors = new ArrayList<>();
  private int edgesNear;
  private int edges;
  private int wordsRight;
  private int wordsAsked;
  private final TrialMisses misses;

  OverloadTally(TrialMisses misses) {
    this.misses = misses;
  }

  void add(Trial trial, Verdicts verdicts) {
    for (int c = 0; c < trial.sides().size(); c++) {
      side(trial, c, verdicts.channels().get(c));
    }
  }

  private void side(Trial trial, int index, ChannelVerdict verdict) {
    Trial.Side truth = trial.sides().get(index);
    Clipping clipping = verdict.clipping();
    String side = index == 0 ? "left " : "right ";
    if (truth.cut() != Trial.Cut.NOT_ASKED) {
      boolean cut = truth.cut() == Trial.Cut.CUT;
      String codec = trial.codec().name();
      ofCuts.add(clipping.confidence(), cut == clipping.clipped());
      // Channels that are not cut count against both kinds.
      if (!cut || truth.hard()) {
        count(hardByCodec.computeIfAbsent(codec, k -> new Counts()), cut, clipping.clipped());
      }
      if (!cut || !truth.hard()) {
        count(softByCodec.computeIfAbsent(codec, k -> new Counts()), cut, clipping.clipped());
      }
      String kind = index == 0 ? trial.kind() : "second channel";
      count(byKind.computeIfAbsent(kind, k -> new Counts()), cut, clipping.clipped());
      if (cut != clipping.clipped()) {
        misses.add(
            "overload",
            trial,
            side + (cut ? "cut not seen" : "falsely called cut"),
            String.format(
                Locale.ROOT,
                "true excess %.1f hard %s, says %s %s",
                truth.excessDb(),
                truth.hard(),
                short1(clipping),
                verdict.overload()));
      }
    }
    word(trial, truth, verdict.overload(), side);
    Double told = verdict.overload().excessDb();
    if (truth.hard() && truth.cut() == Trial.Cut.CUT && told != null) {
      double error = told - truth.excessDb();
      (truth.excessDb() <= 20 ? hardErrors : hotErrors).add(Math.abs(error));
      if (truth.excessDb() <= 20) {
        signedErrors.add(error);
      }
    }
    boolean pcm = !trial.codec().lossy();
    if (pcm && truth.hard() && truth.cut() == Trial.Cut.CUT && clipping.clipped()) {
      edges(truth.cuts(), clipping.spans(), trial.rateHz());
    }
  }

  private static String short1(Clipping clipping) {
    return String.format(
        Locale.ROOT,
        "%s at %s, %d spans, share %.3f, samples %.5f",
        clipping.clipped(),
        clipping.ceilingDbfs(),
        clipping.spans().size(),
        clipping.shareOfActive(),
        clipping.samplesAtCeiling());
  }

  private static void count(Counts counts, boolean cut, boolean called) {
    if (cut) {
      counts.found += called ? 1 : 0;
      counts.missed += called ? 0 : 1;
    } else {
      counts.falsely += called ? 1 : 0;
      counts.rightlyNot += called ? 0 : 1;
    }
  }

  private void word(Trial trial, Trial.Side truth, Overload overload, String side) {
    Overload.Verdict wanted = truth.overload();
    if (wanted == null) {
      return;
    }
    boolean right = wanted == overload.verdict();
    wordTable.add(wanted.word(), overload.verdict().word());
    wordsAsked++;
    ofWords.add(overload.confidence(), right);
    wordsRight += right ? 1 : 0;
    int[] counts = words.computeIfAbsent(trial.codec().name(), k -> new int[2]);
    counts[0] += right ? 1 : 0;
    counts[1]++;
    if (!right) {
      misses.add(
          "overload",
          trial,
          side + wanted.word() + " called " + overload.verdict().word(),
          String.format(
              Locale.ROOT,
              "true excess %.1f hard %s, %s",
              truth.excessDb(),
              truth.hard(),
              overload));
    }
  }

  /** Each true edge wants a found one near it, and each found one a true one. */
  private void edges(List<Span> truth, List<Span> found, int rateHz) {
    near(truth, found, rateHz);
    near(found, truth, rateHz);
  }

  private void near(List<Span> of, List<Span> among, int rateHz) {
    for (Span span : of) {
      long start = Long.MAX_VALUE;
      long end = Long.MAX_VALUE;
      for (Span other : among) {
        start = Math.min(start, Math.abs(other.startFrame() - span.startFrame()));
        end = Math.min(end, Math.abs(other.endFrame() - span.endFrame()));
      }
      edges += 2;
      edgesNear += start <= EDGE_SECONDS * rateHz ? 1 : 0;
      edgesNear += end <= EDGE_SECONDS * rateHz ? 1 : 0;
    }
  }

  double wordShare() {
    return wordsAsked == 0 ? 1 : (double) wordsRight / wordsAsked;
  }

  int wordsAsked() {
    return wordsAsked;
  }

  double edgeShare() {
    return edges == 0 ? 1 : (double) edgesNear / edges;
  }

  /** Number of edges compared, true ones and found ones. */
  int edges() {
    return edges;
  }

  /** Number of hard cuts up to 20 dB whose excess was told. */
  int excesses() {
    return hardErrors.size();
  }

  double excessMedianDb() {
    return Statistics.median(hardErrors.stream().mapToDouble(x -> x).toArray());
  }

  /** False alarms on limiter material: share and number. */
  double[] limiter() {
    Counts counts = byKind.getOrDefault("limiter", new Counts());
    int all = counts.falsely + counts.rightlyNot;
    return new double[] {all == 0 ? 0 : (double) counts.falsely / all, all};
  }

  /** Recall and precision for some codecs, hard cuts or soft ones. */
  double[] recallAndPrecision(boolean hard, String... codecs) {
    Counts sum = new Counts();
    for (String codec : codecs) {
      Counts counts = (hard ? hardByCodec : softByCodec).getOrDefault(codec, new Counts());
      sum.found += counts.found;
      sum.missed += counts.missed;
      sum.falsely += counts.falsely;
    }
    return new double[] {
      share(sum.found, sum.found + sum.missed),
      share(sum.found, sum.found + sum.falsely),
      sum.found + sum.missed
    };
  }

  private static double share(int part, int all) {
    return all == 0 ? 1 : (double) part / all;
  }

  String text() {
    StringBuilder text = new StringBuilder(HEAD);
    hardByCodec.forEach(
        (codec, hard) -> {
          Counts soft = softByCodec.getOrDefault(codec, new Counts());
          text.append(
              String.format(
                  Locale.ROOT,
                  "| %s | %d | %d | %d | %d | %d | %d |%n",
                  codec,
                  hard.found,
                  hard.found + hard.missed,
                  soft.found,
                  soft.found + soft.missed,
                  hard.falsely,
                  hard.falsely + hard.rightlyNot));
        });
    text.append("\n| kind | called cut | of |\n|---|---:|---:|\n");
    byKind.forEach(
        (kind, counts) ->
            text.append(
                String.format(
                    Locale.ROOT,
                    "| %s | %d | %d |%n",
                    kind,
                    counts.found + counts.falsely,
                    counts.found + counts.missed + counts.falsely + counts.rightlyNot)));
    text.append('\n').append(wordTable.text());
    double[] errors = hardErrors.stream().mapToDouble(x -> x).toArray();
    double[] signed = signedErrors.stream().mapToDouble(x -> x).toArray();
    double[] hot = hotErrors.stream().mapToDouble(x -> x).toArray();
    text.append(
        String.format(
            Locale.ROOT,
            "%nExcess of hard cuts, told less true, up to 20 dB (%d channels): median of the size"
                + " %.1f dB, nine of ten%nwithin %.1f dB, median with its sign %+.1f dB; beyond 20"
                + " dB (%d channels): median of the size %.1f dB.%n",
            errors.length,
            Statistics.median(errors),
            Statistics.quantile(errors, 0.9),
            Statistics.median(signed),
            hot.length,
            Statistics.median(hot)));
    return text.toString();
  }

  /** How sure it was said that a channel was cut off or was not, and how often that was right. */
  String reliabilityOfCuts() {
    return ofCuts.text();
  }

  /** The same of none, occasional and line-level. */
  String reliabilityOfWords() {
    return ofWords.text();
  }
}
