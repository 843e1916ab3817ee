package hardpan.desk.model;

/**
 * Where a source lies on the reference's clock, or on its own if it has no place.
 *
 * @param offsetSeconds where its first frame lies; 0 without a place
 * @param driftPpm how much longer its second is on the reference
 * @param durationSeconds its length by its own clock
 * @param placed whether the clock is the reference's
 */
record OnClock(double offsetSeconds, double driftPpm, double durationSeconds, boolean placed) {
  private double stretch() {
    return 1 + driftPpm * 1e-6;
  }

  /** The instant at a second of the source. */
  double at(double sourceSeconds) {
    return offsetSeconds + sourceSeconds * stretch();
  }

  /** The second of the source at an instant. */
  double sourceAt(double seconds) {
    return (seconds - offsetSeconds) / stretch();
  }

  double startSeconds() {
    return offsetSeconds;
  }

  double endSeconds() {
    return at(durationSeconds);
  }

  boolean holds(double seconds) {
    return seconds >= startSeconds() && seconds < endSeconds();
  }

  /** The same from another start. */
  OnClock movedTo(double otherOffsetSeconds) {
    return new OnClock(otherOffsetSeconds, driftPpm, durationSeconds, placed);
  }
}
