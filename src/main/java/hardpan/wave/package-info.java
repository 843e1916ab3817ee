/**
 * Wave files, read and written: RIFF, RF64 and BW64 with {@code fmt}, {@code bext}, {@code iXML},
 * {@code LIST INFO}, {@code cue} and {@code LIST adtl}.
 *
 * <p>Flows in: a path, or samples and metadata to write. Flows out: {@link hardpan.wave.WaveHeader}
 * and samples by frame position, or a finished file. The reader is tolerant, because recorders lose
 * power: it reads what is there and lists everything that is not as the standards say. The writer
 * is strict.
 *
 * <p>Standards: Multimedia Programming Interface and Data Specifications 1.0 (1991) for RIFF; EBU
 * Tech 3285 v2 for {@code bext} and linear sound; EBU Tech 3306 and ITU-R BS.2088 for sizes past 4
 * GiB; iXML 3.01.
 */
@NullMarked
package hardpan.wave;

import org.jspecify.annotations.NullMarked;
