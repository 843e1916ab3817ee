/**
 * What is wrong with a channel or a pair of channels, how sure that is, and the numbers behind it.
 *
 * <p>Flows in: blocks of one decode pass ({@link hardpan.media.BlockListener}). Flows out: {@link
 * hardpan.verdict.ChannelVerdict} for each channel and {@link hardpan.verdict.PairVerdict} for a
 * clip's left and right. Memory: histograms of fixed size, and lists that grow slowly and are
 * bounded (about 6 MB a channel for three hours, 12 MB if it is clipped throughout; 2 MB for the
 * pair).
 */
@NullMarked
package hardpan.verdict;

import org.jspecify.annotations.NullMarked;
