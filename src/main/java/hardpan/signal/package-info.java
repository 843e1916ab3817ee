/**
 * Mathematics on arrays of samples: transforms, windows, resampling, loudness, statistics.
 *
 * <p>Flows in: float and double arrays, rates in hertz. Flows out: numbers and arrays. No files, no
 * logging, no clock.
 */
@NullMarked
package hardpan.signal;

import org.jspecify.annotations.NullMarked;
