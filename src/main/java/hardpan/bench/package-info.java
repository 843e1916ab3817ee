/**
 * Measures this program: how fast a whole hand-over is and how much memory it takes.
 *
 * <p>Flows in: a size. Flows out: a made folder, a table of measured figures. Speed is measured
 * here and never in tests.
 */
@NullMarked
package hardpan.bench;

import org.jspecify.annotations.NullMarked;
