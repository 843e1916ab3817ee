package hardpan.desk.model;

import java.util.OptionalDouble;

/**
 * How long work will still take, from how long it took so far. Says nothing before it has seen
 * enough.
 */
final class TimeLeft {
  private static final double LEAST_SECONDS = 2;
  private static final double LEAST_SHARE = 0.02;
  private static final double MINUTE_SECONDS = 60;
  private static final double STEP_SECONDS = 10;

  private final long startNanos;

  /**
   * For one piece of work.
   *
   * @param startNanos when it began, of any steady clock
   */
  TimeLeft(long startNanos) {
    this.startNanos = startNanos;
  }

  /**
   * Seconds left.
   *
   * @param share how much is done, 0 to 1
   * @param nowNanos the same clock now
   * @return empty while nothing can be said
   */
  OptionalDouble seconds(double share, long nowNanos) {
    double taken = (nowNanos - startNanos) * 1e-9;
    if (taken < LEAST_SECONDS || share < LEAST_SHARE || share >= 1) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(taken / share * (1 - share));
  }

  /** In words for people, rounded up; empty while nothing can be said. */
  String words(double share, long nowNanos) {
    OptionalDouble seconds = seconds(share, nowNanos);
    if (seconds.isEmpty()) {
      return "";
    }
    double left = seconds.getAsDouble();
    if (left <= STEP_SECONDS) {
      return Texts.of("left.few");
    }
    return left < MINUTE_SECONDS
        ? Texts.of("left.seconds", Math.round(Math.ceil(left / STEP_SECONDS) * STEP_SECONDS))
        : Texts.of("left.minutes", Math.round(Math.ceil(left / MINUTE_SECONDS)));
  }
}
