package hardpan.shoot;

import org.jspecify.annotations.Nullable;

/**
 * Loudness of one channel measured as a mono track; null where silence has none.
 *
 * @param integratedLufs integrated loudness
 * @param rangeLu loudness range
 * @param maxMomentaryLufs loudest 400 ms
 * @param maxShortTermLufs loudest 3 s
 * @param truePeakDbtp true peak
 */
public record Loudness(
    @Nullable Double integratedLufs,
    @Nullable Double rangeLu,
    @Nullable Double maxMomentaryLufs,
    @Nullable Double maxShortTermLufs,
    @Nullable Double truePeakDbtp) {
  /** Nothing measured. */
  static final Loudness NONE = new Loudness(null, null, null, null, null);
}
