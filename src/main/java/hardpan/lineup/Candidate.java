package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.media.SourceReader;
import java.util.List;
import java.util.Set;

/**
 * A source as the line-up sees it.
 *
 * @param id name used in results, unique within the shoot
 * @param device sources of one device share a clock
 * @param rateHz sample rate
 * @param frameCount length in frames
 * @param maps band maps, one a channel
 * @param usableChannels channels that carry sound
 * @param sound opens the source for reading windows
 */
public record Candidate(
    String id,
    String device,
    int rateHz,
    long frameCount,
    List<BandMap> maps,
    Set<Integer> usableChannels,
    Sound sound) {
  /** Copies the collections. */
  public Candidate {
    maps = List.copyOf(maps);
    usableChannels = Set.copyOf(usableChannels);
  }

  /** Opens a source for reading. */
  @FunctionalInterface
  public interface Sound {
    /**
     * Opens it.
     *
     * @throws MediaException if it cannot be opened any more
     */
    SourceReader open() throws MediaException;
  }

  double durationSeconds() {
    return (double) frameCount / rateHz;
  }

  /** The usable channels in ascending order. */
  List<Integer> channels() {
    return usableChannels.stream().sorted().toList();
  }
}
