package hardpan.wave;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;

/**
 * The five loudness fields of a version 2 {@code bext} chunk (EBU Tech 3285 v2, section 2.4). Null
 * means not measured or not measurable, as for silence; the file keeps two decimals.
 *
 * @param integratedLufs integrated loudness
 * @param rangeLu loudness range
 * @param maxTruePeakDbtp highest true peak
 * @param maxMomentaryLufs highest momentary loudness
 * @param maxShortTermLufs highest short-term loudness
 */
public record BextLoudness(
    @Nullable Double integratedLufs,
    @Nullable Double rangeLu,
    @Nullable Double maxTruePeakDbtp,
    @Nullable Double maxMomentaryLufs,
    @Nullable Double maxShortTermLufs) {

  /** Nothing measured. */
  public static final BextLoudness NONE = new BextLoudness(null, null, null, null, null);

  /** The value that says: this field is not used. */
  static final short UNUSED = 0x7FFF;

  private static final int LARGEST = 9999;

  /**
   * A loudness or level as the chunk stores it: hundredths, ties away from zero. The arithmetic is
   * decimal, because 100 times -22.645 is no exact tie in binary.
   *
   * @return {@link #UNUSED} for null, NaN, infinities and what the field cannot hold
   */
  static short encodeLevel(@Nullable Double value) {
    if (value == null || !Double.isFinite(value)) {
      return UNUSED;
    }
    BigDecimal hundredths =
        BigDecimal.valueOf(value).movePointRight(2).setScale(0, RoundingMode.HALF_UP);
    return hundredths.abs().compareTo(BigDecimal.valueOf(LARGEST)) > 0
        ? UNUSED
        : hundredths.shortValueExact();
  }

  /** As {@link #encodeLevel}, but a range below 0 does not exist. */
  static short encodeRange(@Nullable Double value) {
    short coded = encodeLevel(value);
    return coded < 0 ? UNUSED : coded;
  }

  /** Null for the unused mark and for anything outside the valid range. */
  static @Nullable Double decodeLevel(short coded) {
    return Math.abs((int) coded) > LARGEST ? null : coded / 100.0;
  }

  /** As {@link #decodeLevel}, but a range below 0 does not exist. */
  static @Nullable Double decodeRange(short coded) {
    return coded < 0 ? null : decodeLevel(coded);
  }
}
