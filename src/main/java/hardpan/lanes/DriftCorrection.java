package hardpan.lanes;

/** When a lane's clock is corrected by resampling. */
public enum DriftCorrection {
  /** When the drift over the source exceeds a quarter of a 25 fps frame (10 ms). */
  AUTO,
  /** Whenever a drift is known. */
  ON,
  /** Never. */
  OFF;

  private static final double AUTO_LIMIT_SECONDS = 0.010;

  /**
   * Whether to correct.
   *
   * @param driftPpm the drift
   * @param durationSeconds the source's length
   */
  boolean applies(double driftPpm, double durationSeconds) {
    return switch (this) {
      case AUTO -> Math.abs(driftPpm) * 1e-6 * durationSeconds > AUTO_LIMIT_SECONDS;
      case ON -> driftPpm != 0;
      case OFF -> false;
    };
  }
}
