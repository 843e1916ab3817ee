package hardpan.demo;

/** Where a clip's samples lie on the event's time line, in exact whole-number arithmetic. */
final class ClipClock {
  private static final long BILLION = 1_000_000_000L;

  private final long offsetNanos;
  private final long driftPpb;
  private final int rateHz;
  private final long denominator;
  private final long offsetNumerator;
  private final long stepNumerator;

  /**
   * A clock.
   *
   * @param offsetNanos event time of the clip's first decoded sample, in nanoseconds after the
   *     recorder's first sample; may be negative
   * @param driftPpb by how much a clip second is longer than an event second, in billionths
   * @param rateHz the clip's nominal sample rate
   */
  ClipClock(long offsetNanos, long driftPpb, int rateHz) {
    this.offsetNanos = offsetNanos;
    this.driftPpb = driftPpb;
    this.rateHz = rateHz;
    long divisor = commonDivisor(Stage.RATE_HZ, rateHz);
    this.denominator = BILLION * (rateHz / divisor);
    this.offsetNumerator = Math.multiplyExact(offsetNanos, Stage.RATE_HZ * (rateHz / divisor));
    this.stepNumerator = (Stage.RATE_HZ / divisor) * (BILLION + driftPpb);
  }

  private static long commonDivisor(long a, long b) {
    return b == 0 ? a : commonDivisor(b, a % b);
  }

  long offsetNanos() {
    return offsetNanos;
  }

  long driftPpb() {
    return driftPpb;
  }

  int rateHz() {
    return rateHz;
  }

  /** Event frame, whole part, of a clip frame. */
  long eventFrame(long clipFrame) {
    return Math.floorDiv(numerator(clipFrame), denominator);
  }

  /** Event frame, fraction from 0 inclusive to 1 exclusive, of a clip frame. */
  double eventFraction(long clipFrame) {
    return (double) Math.floorMod(numerator(clipFrame), denominator) / denominator;
  }

  private long numerator(long clipFrame) {
    return Math.addExact(offsetNumerator, Math.multiplyExact(clipFrame, stepNumerator));
  }
}
