/**
 * Where a source sits on the reference's clock: offset, drift, polarity, confidence, or an honest
 * refusal.
 *
 * <p>Flows in: band-energy maps made during the decode pass, and windows of full-rate sound read
 * through {@link hardpan.media.SourceReader}. Flows out: one {@link hardpan.lineup.Placement} a
 * source. The steps: coarse places by the maps ({@code CoarseSearch}), proof by many short windows
 * that agree on a straight line ({@code LineVote}), the direct path among the echoes ({@code
 * DirectPath}), and the final line ({@code PathMeasure}, {@code SharedPath}).
 *
 * <p>A clip's channels are never summed: an inverted pair would cancel.
 */
@NullMarked
package hardpan.lineup;

import org.jspecify.annotations.NullMarked;
