/**
 * Any clip or recording, read as planar float blocks by frame position.
 *
 * <p>Flows in: a path. Flows out: {@link hardpan.media.SourceFacts} and the samples, through {@link
 * hardpan.media.SourceReader}. Files are opened read-only. Only the classes named {@code Ffmpeg...}
 * touch the native libraries.
 */
@NullMarked
package hardpan.media;

import org.jspecify.annotations.NullMarked;
