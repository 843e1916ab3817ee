package hardpan.desk.model;

import hardpan.report.FindingReport.Severity;
import hardpan.report.Standing;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What one device recorded without a stop: a file, or its parts one after another, or the files of
 * its channels one below another.
 *
 * @param items its sources in the order of time, at least one
 */
public record ClockRun(List<ClockItem> items) {
  /** Copies. */
  public ClockRun {
    items = List.copyOf(items);
  }

  /** When it begins on the reference's clock. */
  public double startSeconds() {
    return items.stream().mapToDouble(ClockItem::startSeconds).min().orElse(0);
  }

  /** When it ends. */
  public double endSeconds() {
    return items.stream().mapToDouble(ClockItem::endSeconds).max().orElse(0);
  }

  /** How many channels lie one below another, at least 1. */
  public int strips() {
    return Math.max(
        1,
        items.stream().mapToInt(item -> item.firstStrip() + item.channelCount()).max().orElse(1));
  }

  /** Whether the reference is in it. */
  public boolean isReference() {
    return items.stream().anyMatch(item -> item.row().standing() == Standing.REFERENCE);
  }

  /** Its number or numbers and what it is called. */
  public String title() {
    ClockItem first = items.get(0);
    if (items.size() == 1) {
      return first.row().number() + "  " + first.row().fileName();
    }
    int least = items.stream().mapToInt(item -> item.row().number()).min().orElse(0);
    int most = items.stream().mapToInt(item -> item.row().number()).max().orElse(0);
    return Texts.of("clock.run", least, most, first.row().fileName(), items.size());
  }

  /** All findings in a few words, worst first. */
  public String flagWords() {
    return Flag.words(items.stream().flatMap(item -> item.flags().stream()).toList());
  }

  /** How bad the worst is; null if there is nothing. */
  public @Nullable Severity worst() {
    return items.stream()
        .flatMap(item -> item.flags().stream())
        .map(Flag::severity)
        .max(Severity::compareTo)
        .orElse(null);
  }
}
