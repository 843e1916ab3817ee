package hardpan.verdict;

import org.jspecify.annotations.Nullable;

/**
 * How much too hot a channel was.
 *
 * <p>The excess is judged from the cut sound alone: an exponential tail is laid through the share
 * of samples at the ceiling. How far off it is on clips of known truth stands in docs/accuracy.md;
 * a long programme of very uneven loudness reads low, by 3 to 6 dB.
 *
 * @param verdict none, occasional, or line level into a microphone input
 * @param excessDb how far the signal would have gone beyond the ceiling; null if not clipped
 * @param padDb usual attenuator value that would have left at least 6 dB of room; null if not
 *     clipped
 * @param confidence 0 to 1
 */
public record Overload(
    Verdict verdict, @Nullable Double excessDb, @Nullable Double padDb, double confidence) {

  /** Nine of ten estimates of recorded sound lie within this (own measurement). */
  static final double EXCESS_UNCERTAINTY_DB = 4;

  /** How often and how badly. */
  public enum Verdict {
    /** Not clipped. */
    NONE("none"),
    /** A microphone set too high for the loud moments. */
    OCCASIONAL("occasional"),
    /** A line feed that nobody padded. */
    LINE_LEVEL("line-level");

    private final String word;

    Verdict(String word) {
      this.word = word;
    }

    /** The word of the report contract. */
    public String word() {
      return word;
    }
  }
}
