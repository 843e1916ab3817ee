package hardpan.desk.model;

import hardpan.shoot.Overview;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A source in the picture of the shoot.
 *
 * @param row the source
 * @param startSeconds its start on the reference's clock; 0 if it has no place
 * @param endSeconds its end; the start plus its own length if it has no place
 * @param channelCount number of channels, 0 if it cannot be read
 * @param overview its waveform, or null if it cannot be read
 * @param flags its findings
 * @param reason why it has no place; empty if it has one
 */
public record ClockItem(
    SourceRow row,
    double startSeconds,
    double endSeconds,
    int channelCount,
    @Nullable Overview overview,
    List<Flag> flags,
    String reason) {
  /** Copies. */
  public ClockItem {
    flags = List.copyOf(flags);
  }

  /** What is wrong, each thing once, worst first: {@code line level, too hot; recorded too low}. */
  public String flagWords() {
    return String.join(
        "; ",
        flags.stream()
            .sorted((a, b) -> b.severity().compareTo(a.severity()))
            .map(Flag::words)
            .distinct()
            .toList());
  }
}
