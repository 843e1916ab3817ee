package hardpan.lanes;

import org.jspecify.annotations.Nullable;

/**
 * A lane that lies finished on the disk.
 *
 * @param lane its plan
 * @param frameCount frames written
 * @param startFrameOnReference first frame on the reference, counted at the lane's own rate; null
 *     if unplaced
 * @param timeReferenceSamples samples since midnight as written to {@code bext}; null if unplaced
 * @param sha256 checksum of the file, lower-case hexadecimal, taken by reading it back
 * @param clampedSamples samples that did not fit a whole-number file and were held at its limit
 * @param leftOutMarkers findings' regions for which the file had no room
 */
public record WrittenLane(
    Lane lane,
    long frameCount,
    @Nullable Long startFrameOnReference,
    @Nullable Long timeReferenceSamples,
    String sha256,
    long clampedSamples,
    int leftOutMarkers) {}
