package hardpan.lanes;

import hardpan.base.SourceClock;

/** When a lane's clock is corrected by resampling. */
public enum DriftCorrection {
  /**
   * When the source, played at the reference's speed, would get farther than a quarter of a 25 fps
   * frame (10 ms) from where it belongs, by its drift and its bend.
   */
  AUTO,
  /** Whenever a drift or a bend is known. */
  ON,
  /** Never. */
  OFF;

  private static final double AUTO_LIMIT_SECONDS = 0.010;

  /**
   * Whether to correct.
   *
   * @param clock the source's clock
   * @param durationSeconds the source's length
   */
  boolean applies(SourceClock clock, double durationSeconds) {
    return switch (this) {
      case AUTO -> clock.farthestSeconds(durationSeconds) > AUTO_LIMIT_SECONDS;
      case ON -> clock.driftPpm() != 0 || !clock.isStraight();
      case OFF -> false;
    };
  }
}
