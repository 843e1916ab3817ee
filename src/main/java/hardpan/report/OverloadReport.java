package hardpan.report;

import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * Whether the feed was too hot for the input, and by how much.
 *
 * @param verdict in a word
 * @param excessDb estimated height of the true peaks above the ceiling, in dB; null if none or
 *     unknown
 * @param padDb advised in-line attenuator, in dB; null if none is needed
 * @param confidence 0 to 1
 */
public record OverloadReport(
    Verdict verdict, @Nullable Double excessDb, @Nullable Double padDb, double confidence) {
  /** Rounds. */
  public OverloadReport {
    Objects.requireNonNull(verdict, "verdict");
    excessDb = Numbers.orNull(excessDb, Numbers.DECIBEL);
    padDb = Numbers.notNegativeOrNull(padDb, Numbers.DECIBEL, "padDb");
    confidence = Numbers.confidence(confidence);
  }

  /** Not overloaded, with the given confidence. */
  public static OverloadReport none(double confidence) {
    return new OverloadReport(Verdict.NONE, null, null, confidence);
  }

  /** How hot the feed was. */
  public enum Verdict implements Word {
    /** Nothing too hot. */
    NONE,
    /** Loud moments only: a gain set too high. */
    OCCASIONAL,
    /** Through most of the sound: a line output in a microphone input, no pad between. */
    LINE_LEVEL
  }
}
