package hardpan.report;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Where a channel's tops were cut off.
 *
 * @param clipped whether clipping was found
 * @param ceilingDbfs level of the cut tops in dBFS, which may lie below full scale; null where
 *     nothing is clipped
 * @param clippedSeconds time spent at the ceiling, the cut tops alone, at least 0
 * @param spans stretches in which clipping occurs, in time order; each holds many cut tops, so
 *     their length is more than {@code clippedSeconds}
 */
public record ClippingReport(
    boolean clipped, @Nullable Double ceilingDbfs, double clippedSeconds, List<SpanReport> spans) {
  /** Rounds and copies. */
  public ClippingReport {
    ceilingDbfs = Numbers.orNull(ceilingDbfs, Numbers.DECIBEL);
    clippedSeconds = Numbers.notNegative(clippedSeconds, Numbers.SECOND, "clippedSeconds");
    spans = List.copyOf(spans);
  }

  /** Nothing clipped. */
  public static ClippingReport none() {
    return new ClippingReport(false, null, 0, List.of());
  }
}
