/**
 * What is wrong with a channel or a pair of channels, how sure that is, and the numbers behind it.
 *
 * <p>Flows in: blocks of one decode pass ({@link hardpan.media.BlockListener}). Flows out: {@link
 * hardpan.verdict.ChannelVerdict} for each channel and {@link hardpan.verdict.PairVerdict} for a
 * clip's left and right. Memory is bounded by counters and histograms, not by the sound's length.
 */
@NullMarked
package hardpan.verdict;

import org.jspecify.annotations.NullMarked;
