package hardpan.shoot;

import org.jspecify.annotations.Nullable;

/**
 * Loudness of one channel measured as a mono track; null where silence has none.
 *
 * @param integratedLufs integrated loudness
 * @param rangeLu loudness range
 * @param truePeakDbtp true peak
 */
public record Loudness(
    @Nullable Double integratedLufs, @Nullable Double rangeLu, @Nullable Double truePeakDbtp) {}
