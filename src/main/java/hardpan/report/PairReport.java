package hardpan.report;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * How a source's left and right relate.
 *
 * @param verdict in a word
 * @param confidence 0 to 1
 * @param correlation normalised correlation at the best lag, -1 to 1; null if a side is silent
 * @param gainDifferenceDb level of right less level of left, in dB; negative where right is quieter
 * @param lagSeconds how much later right hears what left hears; negative where right is earlier
 * @param bleedDb for two microphones, how loud the other's sound is in the worse one relative to
 *     its own; null where it does not apply
 */
public record PairReport(
    Verdict verdict,
    double confidence,
    @Nullable Double correlation,
    @Nullable Double gainDifferenceDb,
    @Nullable Double lagSeconds,
    @Nullable Double bleedDb) {
  /** Rounds; a correlation outside -1 to 1 is refused but for the last digit. */
  public PairReport {
    Objects.requireNonNull(verdict, "verdict");
    confidence = Numbers.confidence(confidence);
    correlation = Numbers.orNull(correlation, Numbers.SHARE);
    if (correlation != null && Math.abs(correlation) > 1) {
      throw new IllegalArgumentException("correlation must be -1 to 1, not " + correlation);
    }
    gainDifferenceDb = Numbers.orNull(gainDifferenceDb, Numbers.DECIBEL);
    lagSeconds = Numbers.orNull(lagSeconds, Numbers.SECOND);
    bleedDb = Numbers.orNull(bleedDb, Numbers.DECIBEL);
  }

  /** The words for a pair. */
  public enum Verdict implements Word {
    /** Two signals of their own: two microphones through a splitter. */
    ISOLATED,
    /** One signal on both contacts. */
    SAME_SIGNAL,
    /** One signal, the second upside down: the two legs of a balanced output. */
    INVERTED,
    /** One signal, the second some dB lower: a safety track. */
    LOWER_COPY,
    /** One stereo picture. */
    STEREO,
    /** One side carries nothing but noise. */
    ONE_SILENT,
    /** Neither side carries anything. */
    BOTH_SILENT,
    /** Not enough sound to tell, or contradicting evidence. */
    UNKNOWN
  }
}
