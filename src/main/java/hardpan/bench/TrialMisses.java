package hardpan.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The trials that came out wrong, with what it takes to run one again. */
final class TrialMisses {
  private final List<String> lines = new ArrayList<>();

  void add(String family, Trial trial, String wrong, String figures) {
    lines.add(
        String.format(
            Locale.ROOT,
            "%s-%d  %s  [%s, %s %d, %d Hz, %.1f s]  %s",
            family,
            trial.index(),
            wrong,
            trial.kind(),
            trial.codec().codec(),
            trial.codec().bitRate() / 1000,
            trial.rateHz(),
            trial.sound()[0].length / (double) trial.rateHz(),
            figures));
  }

  List<String> lines() {
    return lines.stream().sorted().toList();
  }
}
