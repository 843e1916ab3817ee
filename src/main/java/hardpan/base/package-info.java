/**
 * The few types every room shares: the typed errors of a source that cannot be read, and the one
 * interface through which long work reports progress and learns that it was cancelled.
 *
 * <p>Flows in: nothing. Flows out: {@link hardpan.base.MediaException} and its three kinds, {@link
 * hardpan.base.Monitor}, {@link hardpan.base.Span}, {@link hardpan.base.SourceClock}. Depends on
 * the JDK only.
 */
@NullMarked
package hardpan.base;

import org.jspecify.annotations.NullMarked;
