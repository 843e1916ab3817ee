package hardpan.verdict;

import org.jspecify.annotations.Nullable;

/**
 * How much too hot a channel was.
 *
 * @param verdict none, occasional, or line level into a microphone input
 * @param excessDb how far the signal would have gone beyond the ceiling; null if not clipped
 * @param padDb usual attenuator value that would have left at least 6 dB of room; null if not
 *     clipped
 * @param confidence 0 to 1
 */
public record Overload(
    Verdict verdict, @Nullable Double excessDb, @Nullable Double padDb, double confidence) {

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
