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
 * @param clippedSeconds total length of {@code spans}
 * @param spans where, in frames of the source; neighbours closer than 50 ms are one span
 * @param shareOfActive time inside spans as a share of the time with programme, 0 to 1
 * @param samplesAtCeiling share of the active samples at or beyond the ceiling, 0 to 1
 * @param confidence how sure it is that it was, or was not, 0 to 1
 */
public record Clipping(
    boolean clipped,
    @Nullable Double ceilingDbfs,
    double clippedSeconds,
    List<Span> spans,
    double shareOfActive,
    double samplesAtCeiling,
    double confidence) {
  /** A channel that is not clipped. */
  static final Clipping NONE = new Clipping(false, null, 0, List.of(), 0, 0, 0.95);

  /** Copies the list. */
  public Clipping {
    spans = List.copyOf(spans);
  }
}
