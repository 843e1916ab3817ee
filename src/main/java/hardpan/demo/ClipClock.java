package hardpan.demo;

/**
 * Where a clip's samples lie on the event's time line, in exact whole-number arithmetic.
 *
 * @param offsetNanos event time of the clip's first decoded sample, in nanoseconds after the
 *     recorder's first sample; may be negative
 * @param driftPpb by how much a clip second is longer than an event second, in billionths
 * @param rateHz the clip's nominal sample rate
 */
record ClipClock(long offsetNanos, long driftPpb, int rateHz) {
  private static final long BILLION = 1_000_000_000L;

  /** Event frame, whole part, of a clip frame. */
  long eventFrame(long clipFrame) {
    return Math.floorDiv(numerator(clipFrame), denominator());
  }

  /** Event frame, fraction from 0 inclusive to 1 exclusive, of a clip frame. */
  double eventFraction(long clipFrame) {
    return (double) Math.floorMod(numerator(clipFrame), denominator()) / denominator();
  }

  private long denominator() {
    return BILLION * (rateHz / commonDivisor());
  }

  private long numerator(long clipFrame) {
    long divisor = commonDivisor();
    long offset = Math.multiplyExact(offsetNanos, Stage.RATE_HZ * (rateHz / divisor));
    long along = Math.multiplyExact(clipFrame, (Stage.RATE_HZ / divisor) * (BILLION + driftPpb));
    return Math.addExact(offset, along);
  }

  private long commonDivisor() {
    long a = Stage.RATE_HZ;
    long b = rateHz;
    while (b != 0) {
      long rest = a % b;
      a = b;
      b = rest;
    }
    return a;
  }
}
