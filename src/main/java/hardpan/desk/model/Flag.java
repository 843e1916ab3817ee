package hardpan.desk.model;

import hardpan.report.FindingReport.Severity;
import java.util.Comparator;
import java.util.List;

/**
 * A finding in the picture.
 *
 * @param channel index of the channel, or -1 for the whole clip
 * @param severity how much it matters
 * @param words a few plain words
 * @param stretches where on the reference's clock, in the order of time; empty for the whole clip
 */
public record Flag(int channel, Severity severity, String words, List<Stretch> stretches) {
  /** Copies and puts in order. */
  public Flag {
    stretches =
        stretches.stream().sorted(Comparator.comparingDouble(Stretch::startSeconds)).toList();
  }

  /** Each thing once, worst first: {@code tops cut off; recorded too low}. */
  static String words(List<Flag> flags) {
    return String.join(
        "; ",
        flags.stream()
            .sorted((a, b) -> b.severity().compareTo(a.severity()))
            .map(Flag::words)
            .distinct()
            .toList());
  }

  /**
   * A stretch on the reference's clock.
   *
   * @param startSeconds its start
   * @param endSeconds its end, at least the start
   */
  public record Stretch(double startSeconds, double endSeconds) {}
}
