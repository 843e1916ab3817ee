package hardpan.report;

/**
 * A place that fits about as well as the one a placement names.
 *
 * @param offsetSeconds where the source would start on the reference
 * @param driftPpm its clock there, as in {@link PlacementReport}
 * @param inverted whether it would be upside down there
 * @param confidence its share of what speaks for any of the places, 0 to 1
 */
public record OtherPlaceReport(
    double offsetSeconds, double driftPpm, boolean inverted, double confidence) {
  /** Rounds. */
  public OtherPlaceReport {
    Double offset = Numbers.orNull(offsetSeconds, Numbers.SECOND);
    Double drift = Numbers.orNull(driftPpm, Numbers.PPM);
    if (offset == null || drift == null) {
      throw new IllegalArgumentException("another place needs an offset and a drift");
    }
    offsetSeconds = offset;
    driftPpm = drift;
    confidence = Numbers.confidence(confidence);
  }
}
