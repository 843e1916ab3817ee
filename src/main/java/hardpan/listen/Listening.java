package hardpan.listen;

import java.util.List;

/**
 * What is to be heard.
 *
 * @param sources at least one; they sound together
 * @param startSeconds the instant to begin with, on the clock the sources' places are on
 * @param lengthSeconds how long at most, above 0; infinite for as long as there is sound
 */
public record Listening(List<HeardSource> sources, double startSeconds, double lengthSeconds) {
  /** Checks and copies. */
  public Listening {
    sources = List.copyOf(sources);
    if (sources.isEmpty() || !Double.isFinite(startSeconds) || !(lengthSeconds > 0)) {
      throw new IllegalArgumentException(
          sources.size() + " sources from " + startSeconds + " for " + lengthSeconds);
    }
  }
}
