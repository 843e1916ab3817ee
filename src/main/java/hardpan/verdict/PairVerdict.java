package hardpan.verdict;

import hardpan.base.Span;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How a clip's left and right relate.
 *
 * @param relation the word
 * @param confidence 0 to 1
 * @param correlation correlation of the two at {@code lagSeconds}, or at no lag where that is null,
 *     -1 to 1; null unless both sides carry sound
 * @param gainDifferenceDb level of right less level of left, over the active passages; null where a
 *     side has no level
 * @param lagSeconds how much later the common sound arrives at right than at left; null unless a
 *     common sound is proven
 * @param bleedDb how far below one microphone's voice the other one hears it (the worse of the two
 *     directions, a negative number); null where it has no meaning or cannot be told from the other
 *     one's own sound
 * @param sections where left and right relate differently in different parts of the clip (a plug
 *     was pulled, pushed in or changed), the parts in order of time without gaps; {@code relation}
 *     and the figures are then those of the longest relation. Empty where one relation holds
 *     throughout
 */
public record PairVerdict(
    Relation relation,
    double confidence,
    @Nullable Double correlation,
    @Nullable Double gainDifferenceDb,
    @Nullable Double lagSeconds,
    @Nullable Double bleedDb,
    List<Section> sections) {
  /** Copies the list. */
  public PairVerdict {
    sections = List.copyOf(sections);
  }

  /** A verdict that holds throughout the clip. */
  public PairVerdict(
      Relation relation,
      double confidence,
      @Nullable Double correlation,
      @Nullable Double gainDifferenceDb,
      @Nullable Double lagSeconds,
      @Nullable Double bleedDb) {
    this(relation, confidence, correlation, gainDifferenceDb, lagSeconds, bleedDb, List.of());
  }

  PairVerdict withConfidence(double other) {
    return new PairVerdict(
        relation, other, correlation, gainDifferenceDb, lagSeconds, bleedDb, sections);
  }

  /** Whether the two sides relate differently in different parts of the clip. */
  public boolean changes() {
    return !sections.isEmpty();
  }

  /**
   * One part of a clip.
   *
   * @param relation how left and right relate there
   * @param span where, in frames of the source
   */
  public record Section(Relation relation, Span span) {}

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
