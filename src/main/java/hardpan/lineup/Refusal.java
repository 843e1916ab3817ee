package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.signal.BandEnergies;
import hardpan.signal.Statistics;
import java.util.Arrays;
import java.util.Locale;

/**
 * Says why a source found no place, and how sure it is that it does not belong.
 *
 * <p>The confidences are shares counted on made trials (docs/accuracy.md): of refused clips shorter
 * than four seconds two in three did belong, of those a little longer one in three; of longer ones
 * few did, and those mostly came near to agreeing.
 */
final class Refusal {
  private static final double SHORT_SECONDS = FineSearch.SHORT_SECONDS;
  private static final double LONG_SECONDS = 20;

  /** Nearly all strangers stay below this, in deviations. */
  private static final double NEARLY = 9.5;

  private static final double NEARLY_IF_SHORT = 12;

  /** From here on a refused short clip mostly did belong. */
  private static final double SOMETHING_IF_SHORT = 7.5;

  private static final double VERY_SHORT_SECONDS = 4;

  private static final double LIVELY_DB = 6;
  private static final int MOST_FRAMES = 60_000;

  private Refusal() {}

  /**
   * The refusal.
   *
   * @param tried places that were looked at
   * @param highestStack how far the best of them stood out of chance, in deviations
   */
  static Placement of(Candidate source, int tried, double highestStack) throws MediaException {
    boolean isShort = source.durationSeconds() < SHORT_SECONDS;
    String evidence =
        String.format(
            Locale.ROOT,
            "at none of the %d likeliest places do its stretches agree on one delay (the best"
                + " stands %.1f standard deviations out of chance)",
            tried,
            highestStack);
    if (highestStack >= (isShort ? NEARLY_IF_SHORT : NEARLY)) {
      return Placement.unplaced(
          "Too noisy"
              + (isShort ? " and too short" : "")
              + " to be sure: something agrees, but "
              + evidence
              + ".",
          0.2);
    }
    if (liveliness(source) < LIVELY_DB) {
      return Placement.unplaced(
          "Too noisy: its level hardly moves, so there is little to compare; " + evidence + ".",
          0.6);
    }
    double confidence = confidence(source.durationSeconds(), highestStack);
    String rest = isShort ? "; so short a clip is not always recognised." : ".";
    return Placement.unplaced("No common sound: " + evidence + rest, confidence);
  }

  /** The refusal of a place that windows agree on, though not closely enough to measure it. */
  static Placement tooLoose(Proof proof) {
    return Placement.unplaced(
        String.format(
            Locale.ROOT,
            "Too noisy or too much echo: %d of %d stretches agree roughly about %.1f s, but not closely"
                + " enough to be sure.",
            proof.line().windowsOnLine(),
            proof.line().windows(),
            proof.line().interceptSeconds()),
        0.2);
  }

  private static double confidence(double seconds, double highestStack) {
    if (seconds < SHORT_SECONDS) {
      return highestStack >= SOMETHING_IF_SHORT ? 0.2 : seconds < VERY_SHORT_SECONDS ? 0.4 : 0.65;
    }
    return seconds < LONG_SECONDS ? 0.9 : 0.96;
  }

  /** By how many decibels the loud moments of the liveliest channel stand over the quiet ones. */
  private static double liveliness(Candidate source) throws MediaException {
    double most = 0;
    for (int channel : source.channels()) {
      BandMap map = source.maps().get(channel);
      int count = (int) Math.min(MOST_FRAMES, map.frames());
      byte[] values = map.read((map.frames() - count) / 2, count);
      for (int band = 0; band < BandEnergies.BANDS; band++) {
        double[] levels = new double[count];
        for (int i = 0; i < count; i++) {
          levels[i] = BandEnergies.decibels(values[i * BandEnergies.BANDS + band]);
        }
        boolean isSilent = Arrays.stream(levels).max().orElse(-200) < -110;
        if (!isSilent && count > 0) {
          most =
              Math.max(most, Statistics.quantile(levels, 0.95) - Statistics.quantile(levels, 0.2));
        }
      }
    }
    return most;
  }
}
