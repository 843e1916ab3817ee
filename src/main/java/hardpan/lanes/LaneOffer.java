package hardpan.lanes;

import java.util.List;

/**
 * A lane that could be written.
 *
 * @param source where its sound comes from
 * @param channels the source's channels, as in {@link Lane}; one, or two whose half difference is
 *     taken
 * @param key the channel by which decisions are made about it, from 0
 * @param name what it is called
 * @param role what it is
 * @param roleGuessed whether nobody said what it is
 * @param state whether it is written, and why not
 * @param pair what it has to do with the other side of a pair
 */
public record LaneOffer(
    LaneSource source,
    List<Integer> channels,
    int key,
    String name,
    String role,
    boolean roleGuessed,
    State state,
    Twin pair) {
  /** Copies the list. */
  public LaneOffer {
    channels = List.copyOf(channels);
  }

  /** Whether a lane is written. */
  public enum State {
    /** It is. */
    WRITTEN,
    /** It is because a person said so; else it would not be. */
    WANTED,
    /** It holds no sound. */
    SILENT,
    /** It holds nothing but crosstalk of the other side. */
    CROSSTALK,
    /** A person said no. */
    UNWANTED
  }

  /** Whether one signal came on both sides. */
  public enum Twin {
    /** It did not. */
    NONE,
    /** It did, and this is the lane of both. */
    MERGED,
    /** It did, and both sides are kept. */
    KEPT_APART
  }

  /** Whether it is written. */
  public boolean isWritten() {
    return state == State.WRITTEN || state == State.WANTED;
  }
}
