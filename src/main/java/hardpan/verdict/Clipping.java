package hardpan.verdict;

import hardpan.base.Span;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Whether and where a channel was cut off at a ceiling.
 *
 * @param clipped whether it was
 * @param ceilingDbfs the ceiling (the higher of the positive and the negative one); null if not
 *     clipped
 * @param positiveDbfs ceiling of the positive half of the wave; null if that half is not cut off
 * @param negativeDbfs ceiling of the negative half; null if that half is not cut off
 * @param shape how it was cut off
 * @param clippedSeconds total length of {@code spans}
 * @param spans where, in frames of the source; neighbours closer than 50 ms are one span
 * @param shareOfActive time inside spans as a share of the time with programme, 0 to 1
 * @param samplesAtCeiling share of the active samples at or beyond the ceiling, 0 to 1
 * @param confidence how sure it is that it was, or was not, 0 to 1
 */
public record Clipping(
    boolean clipped,
    @Nullable Double ceilingDbfs,
    @Nullable Double positiveDbfs,
    @Nullable Double negativeDbfs,
    Shape shape,
    double clippedSeconds,
    List<Span> spans,
    double shareOfActive,
    double samplesAtCeiling,
    double confidence) {
  /** A channel that is not clipped. */
  static final Clipping NONE = none(0.95);

  /** Copies the list. */
  public Clipping {
    spans = List.copyOf(spans);
  }

  /**
   * A channel that is not clipped.
   *
   * @param confidence how sure that is, 0 to 1
   */
  public static Clipping none(double confidence) {
    return new Clipping(false, null, null, null, Shape.NONE, 0, List.of(), 0, 0, confidence);
  }

  /** How the tops of waves end. */
  public enum Shape {
    /** Nothing is cut off. */
    NONE("none"),
    /** Level tops with corners. */
    HARD("hard"),
    /** No corners: the stage bends before it stops, or a filter behind it rounded them. */
    SOFT("soft"),
    /** A lossy codec has blurred the tops, so that nobody can tell. */
    BLURRED("blurred");

    private final String word;

    Shape(String word) {
      this.word = word;
    }

    /** The word in a finding's evidence. */
    public String word() {
      return word;
    }
  }
}
