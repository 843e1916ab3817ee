/**
 * What is written: mono tracks cut out of the sources, named, on the reference's clock.
 *
 * <p>Flows in: a source's facts, verdicts and placement. Flows out: {@link hardpan.lanes.Lane}
 * plans, and Broadcast Wave files made from them by {@link hardpan.lanes.LaneWriter}. Uncompressed
 * sound passes through bit for bit; sound is resampled only to correct a clock.
 */
@NullMarked
package hardpan.lanes;

import org.jspecify.annotations.NullMarked;
