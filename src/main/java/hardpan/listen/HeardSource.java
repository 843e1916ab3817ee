package hardpan.listen;

import hardpan.media.SourceOpening;

/**
 * One source as it is heard.
 *
 * @param opening opens it, as often as it is asked to
 * @param offsetSeconds where its first frame lies on the clock that is listened on
 * @param driftPpm how much longer its second is on that clock, in parts per million, within 10,000
 * @param ears which channels go to which ear
 * @param gainDb what it is raised by, -200 to {@link SafeLevel#MOST_GAIN_DB}; see {@link
 *     SafeLevel#gainDb}
 */
public record HeardSource(
    SourceOpening opening, double offsetSeconds, double driftPpm, Ears ears, double gainDb) {
  private static final double MOST_DRIFT_PPM = 10_000;

  /** Checks the ranges. */
  public HeardSource {
    if (!Double.isFinite(offsetSeconds) || !(Math.abs(driftPpm) <= MOST_DRIFT_PPM)) {
      throw new IllegalArgumentException("offset " + offsetSeconds + ", drift " + driftPpm);
    }
    if (!(gainDb >= -200 && gainDb <= SafeLevel.MOST_GAIN_DB)) {
      throw new IllegalArgumentException("gain " + gainDb);
    }
  }
}
