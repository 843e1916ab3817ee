package hardpan.bench;

import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.PairVerdict;
import hardpan.verdict.Verdicts;
import java.util.List;
import java.util.Locale;
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
