package hardpan.verdict;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * All verdicts on one source.
 *
 * @param channels one a channel
 * @param pair for a clip with two channels, else null
 */
public record Verdicts(List<ChannelVerdict> channels, @Nullable PairVerdict pair) {
  /** Copies the list. */
  public Verdicts {
    channels = List.copyOf(channels);
  }
}
