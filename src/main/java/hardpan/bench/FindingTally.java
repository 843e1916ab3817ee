package hardpan.bench;

import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.PairVerdict;
import hardpan.verdict.Verdicts;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** Counts hum, changes inside clips and other findings against the truth. */
final class FindingTally {
  private static final double CHANGE_SECONDS = 1;

  private final TrialMisses misses;
  private int humFound;
  private int humThere;
  private int humFalse;
  private int humNot;
  private int changesRight;
  private int changes;
  private int falseChanges;
  private int steady;
  private int nearChanges;

  /** For each code: found, there, falsely told, not there. */
  private final Map<String, long[]> findings = new TreeMap<>();

  FindingTally(TrialMisses misses) {
    this.misses = misses;
  }

  static List<String> codes(ChannelVerdict verdict) {
    return verdict.findings().stream().map(Finding::code).toList();
  }

  void addHum(Trial trial, Verdicts verdicts) {
    for (int c = 0; c < trial.sides().size(); c++) {
      double hz = trial.sides().get(c).humHz();
      if (Double.isNaN(hz)) {
        continue;
      }
      Finding hum = finding(verdicts.channels().get(c), "hum");
      boolean rightHz =
          hum != null
              && hum.evidence().get("fundamentalHz") instanceof Double told
              && Math.abs(told - hz) < 0.005 * hz;
      if (hz > 0) {
        humThere++;
        humFound += rightHz ? 1 : 0;
      } else {
        humNot++;
        humFalse += hum == null ? 0 : 1;
      }
      if (hz > 0 ? !rightHz : hum != null) {
        misses.add(
            "hum",
            trial,
            (c == 0 ? "left " : "right ")
                + (hz > 0 ? String.format(Locale.ROOT, "%.2f Hz not found", hz) : "false hum"),
            hum == null ? "" : hum.evidence().toString());
      }
    }
  }

  private static @Nullable Finding finding(ChannelVerdict verdict, String code) {
    return verdict.findings().stream().filter(f -> f.code().equals(code)).findFirst().orElse(null);
  }

  /** Asks each code of the finding trials for itself. */
  void addFinding(Trial trial, Verdicts verdicts) {
    for (int c = 0; c < trial.sides().size(); c++) {
      String truth = trial.sides().get(c).finding();
      if (truth == null) {
        continue;
      }
      List<String> told = codes(verdicts.channels().get(c));
      for (String code : FindingTrials.CODES) {
        boolean there = truth.equals(code);
        boolean said = told.contains(code);
        if (!there && !asked(trial, c, code)) {
          continue;
        }
        long[] count = findings.computeIfAbsent(code, key -> new long[4]);
        count[there ? 1 : 3]++;
        count[there ? 0 : 2] += said ? 1 : 0;
        if (there != said) {
          misses.add(
              "finding",
              trial,
              (c == 0 ? "left " : "right ") + (there ? "not found: " : "falsely told: ") + code,
              verdicts.channels().get(c).findings().toString());
        }
      }
    }
  }

  /** Some faults bring others with them, and recordings have some of their own. */
  private static boolean asked(Trial trial, int channel, String code) {
    String about = channel == 0 ? FindingTrials.code(trial) : "";
    return switch (code) {
      case "band-limited" ->
          trial.kind().startsWith(FindingTrials.MADE) && !about.equals("silence");
      case "inter-sample-overs" -> !about.equals(code);
      case "noisy" -> !about.equals("gain-pumping");
      case "too-low" -> !about.equals("silence");
      default -> true;
    };
  }

  /** How often each code was found and falsely told, as a Markdown table. */
  String findingText() {
    StringBuilder text =
        new StringBuilder(
            "| finding | found | of | falsely told | of |\n|---|---:|---:|---:|---:|\n");
    findings.forEach(
        (code, count) ->
            text.append(
                String.format(
                    Locale.ROOT,
                    "| %s | %.1f %% | %d | %.2f %% | %d |%n",
                    code,
                    count[1] == 0 ? 100 : 100.0 * count[0] / count[1],
                    count[1],
                    count[3] == 0 ? 0 : 100.0 * count[2] / count[3],
                    count[3])));
    return text.toString();
  }

  void addChange(Trial trial, Verdicts verdicts) {
    PairVerdict pair = verdicts.pair();
    List<PairVerdict.Section> told = pair == null ? List.of() : pair.sections();
    boolean right;
    if (trial.sections().size() < 2) {
      steady++;
      right = pair != null && told.isEmpty();
      falseChanges += told.isEmpty() ? 0 : 1;
    } else {
      changes++;
      right = told.size() == trial.sections().size();
      for (int i = 0; right && i < told.size(); i++) {
        right = told.get(i).relation() == trial.sections().get(i).relation();
      }
      if (right) {
        long off = told.get(1).span().startFrame() - trial.sections().get(1).startFrame();
        nearChanges += Math.abs(off) <= CHANGE_SECONDS * trial.rateHz() ? 1 : 0;
      }
      changesRight += right ? 1 : 0;
    }
    if (!right) {
      misses.add("change", trial, "sections wrong", String.valueOf(pair));
    }
  }

  double humShare() {
    return humThere == 0 ? 1 : (double) humFound / humThere;
  }

  double humFalseShare() {
    return humNot == 0 ? 0 : (double) humFalse / humNot;
  }

  int humThere() {
    return humThere;
  }

  int humNot() {
    return humNot;
  }

  String changeText() {
    return String.format(
        Locale.ROOT,
        "Changes inside a clip: %d of %d told with the right words (%d of these within %.0f s); of"
            + " %d clips without one,%n%d were said to have one.%n",
        changesRight,
        changes,
        nearChanges,
        CHANGE_SECONDS,
        steady,
        falseChanges);
  }
}
