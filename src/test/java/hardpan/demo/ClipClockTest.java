package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import org.junit.jupiter.api.Test;

/** The clock's whole-number arithmetic against decimal fractions of 60 digits. */
class ClipClockTest {
  private static final MathContext SIXTY = new MathContext(60);

  @Test
  void agreesWithLongDecimalArithmetic() {
    for (ClipPlan clip : DemoShoot.clips()) {
      for (long frame : new long[] {0, 1, 44_099, 1_000_003, clip.frames() - 1}) {
        BigDecimal exact = exact(clip.clock(), frame);
        BigDecimal floor = exact.setScale(0, RoundingMode.FLOOR);
        assertEquals(floor.longValueExact(), clip.clock().eventFrame(frame), clip.path());
        assertEquals(
            exact.subtract(floor).doubleValue(),
            clip.clock().eventFraction(frame),
            1e-12,
            clip.path());
      }
    }
  }

  @Test
  void firstFramesFallBetweenSamples() {
    for (ClipPlan clip : DemoShoot.clips()) {
      double fraction = clip.clock().eventFraction(0);
      assertEquals(0.5, fraction, 0.49, clip.path() + " begins on a sample");
    }
  }

  private static BigDecimal exact(ClipClock clock, long frame) {
    BigDecimal seconds =
        BigDecimal.valueOf(frame)
            .divide(BigDecimal.valueOf(clock.rateHz()), SIXTY)
            .multiply(BigDecimal.ONE.add(BigDecimal.valueOf(clock.driftPpb(), 9)), SIXTY)
            .add(BigDecimal.valueOf(clock.offsetNanos(), 9));
    return seconds.multiply(BigDecimal.valueOf(48000), SIXTY);
  }
}
