package hardpan.verdict;

import org.jspecify.annotations.Nullable;

/**
 * How a clip's left and right relate.
 *
 * @param relation the word
 * @param confidence 0 to 1
 * @param correlation correlation of the two at {@code lagSeconds}, -1 to 1
 * @param gainDifferenceDb level of right less level of left, over the active passages
 * @param lagSeconds how much later the common sound arrives at right than at left
 * @param bleedDb how far below one microphone's voice the other one hears it (the worse of the two
 *     directions, a negative number); null where it has no meaning
 */
public record PairVerdict(
    Relation relation,
    double confidence,
    double correlation,
    double gainDifferenceDb,
    double lagSeconds,
    @Nullable Double bleedDb) {

  /** The relations a pair can have. */
  public enum Relation {
    /** Two separate signals. */
    ISOLATED("isolated"),
    /** The same signal twice. */
    SAME_SIGNAL("same-signal"),
    /** The same signal twice, one of them upside down. */
    INVERTED("inverted"),
    /** The same signal twice, right or left lower: a safety track. */
    LOWER_COPY("lower-copy"),
    /** One scene from two places: coherent, but not the same. */
    STEREO("stereo"),
    /** One side carries nothing. */
    ONE_SILENT("one-silent"),
    /** Neither side carries anything. */
    BOTH_SILENT("both-silent"),
    /** The evidence does not decide. */
    UNKNOWN("unknown");

    private final String word;

    Relation(String word) {
      this.word = word;
    }

    /** The word of the report contract. */
    public String word() {
      return word;
    }
  }
}
