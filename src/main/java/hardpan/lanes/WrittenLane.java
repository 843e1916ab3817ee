package hardpan.lanes;

import org.jspecify.annotations.Nullable;

/**
 * A lane that lies finished on the disk.
 *
 * @param lane its plan
 * @param frameCount frames written of it
 * @param startFrameOnReference first frame on the reference, counted at the lane's own rate; null
 *     if unplaced
 * @param timeReferenceSamples samples since midnight of its first frame; that of the file, as
 *     written to {@code bext}, is earlier by the lane's first frame in it. Null if unplaced
 * @param fileFrameCount length of the file
 * @param sha256 checksum of the file, lower-case hexadecimal, taken by reading it back
 * @param clampedSamples samples that did not fit a whole-number file and were held at its limit,
 *     while this lane and those beside it were written
 * @param leftOutMarkers findings' regions for which the file had no room; told with its first lane
 */
public record WrittenLane(
    Lane lane,
    long frameCount,
    @Nullable Long startFrameOnReference,
    @Nullable Long timeReferenceSamples,
    long fileFrameCount,
    String sha256,
    long clampedSamples,
    int leftOutMarkers) {}
