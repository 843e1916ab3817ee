package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.SourceClock;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Positions held against decimal arithmetic of fifty digits, over lanes of many hours. */
class SourcePositionsTest {
  private static final MathContext DIGITS = new MathContext(50);
  private static final double OFFSET = 4321.987_654_3;
  private static final double PPM = 37.5;

  /** Twenty-six hours with knees of up to 30 ppm. */
  private static final double[] KNOTS = {60, 7200.5, 40_000.25, 71_000, 93_000};

  private static final double[] BESIDE = {0, 0.1428, -0.6, -0.1, 0.4};
  private static final SourceClock CLOCK = SourceClock.bent(OFFSET, PPM, KNOTS, BESIDE);

  private static BigDecimal exactly(double value) {
    return new BigDecimal(value);
  }

  /** Reference seconds at a knot. */
  private static BigDecimal there(int knot) {
    BigDecimal ratio = BigDecimal.ONE.add(exactly(PPM).movePointLeft(6));
    return exactly(OFFSET).add(exactly(KNOTS[knot]).multiply(ratio)).add(exactly(BESIDE[knot]));
  }

  /** Source frame at a frame on the reference. */
  private static BigDecimal wanted(long frame, int laneHz, int sourceHz) {
    BigDecimal seconds = BigDecimal.valueOf(frame).divide(BigDecimal.valueOf(laneHz), DIGITS);
    int piece = 0;
    while (piece + 2 < KNOTS.length && seconds.compareTo(there(piece + 1)) > 0) {
      piece++;
    }
    BigDecimal width = exactly(KNOTS[piece + 1]).subtract(exactly(KNOTS[piece]));
    BigDecimal slope = there(piece + 1).subtract(there(piece)).divide(width, DIGITS);
    return exactly(KNOTS[piece])
        .add(seconds.subtract(there(piece)).divide(slope, DIGITS))
        .multiply(BigDecimal.valueOf(sourceHz));
  }

  private static BigDecimal found(SourcePositions positions, long frame) {
    positions.goTo(frame);
    assertTrue(positions.fraction() >= 0 && positions.fraction() < 1, "at " + frame);
    return exactly(positions.fraction()).add(BigDecimal.valueOf(positions.index()));
  }

  @ParameterizedTest
  @CsvSource({"48000, 48000", "44100, 48000", "96000, 48000", "48000, 44100"})
  void everyFrameLiesWhereTheClockSays(int sourceHz, int laneHz) {
    long start = (long) Math.ceil(CLOCK.referenceSeconds(0) * laneHz);
    SourcePositions positions = SourcePositions.of(CLOCK, sourceHz, laneHz, start);
    Random random = new Random(9);
    long length = 93_600L * laneHz;
    for (int i = 0; i < 20_000; i++) {
      long frame = (long) (random.nextDouble() * length);
      double off =
          found(positions, frame).subtract(wanted(start + frame, laneHz, sourceHz)).doubleValue();
      // A clock is known to a microsecond at best; this is 20 picoseconds.
      assertEquals(0, off, 2e-6, "seed 9, frame " + frame);
    }
  }

  /** What one hears as a click would be a jump; steps stay within 1e-9 of a frame of the speed. */
  @Test
  void theWayIsContinuousAtTheKnees() {
    int rate = 48_000;
    long start = (long) Math.ceil(CLOCK.referenceSeconds(0) * rate);
    SourcePositions positions = SourcePositions.of(CLOCK, rate, rate, start);
    for (int knot = 1; knot + 1 < KNOTS.length; knot++) {
      long knee = (long) (CLOCK.referenceSeconds(KNOTS[knot]) * rate) - start;
      double slopeBefore = CLOCK.pieces().get(knot - 1).slope();
      double slopeAfter = CLOCK.pieces().get(knot).slope();
      for (long frame = knee - 50; frame < knee + 50; frame++) {
        double step = found(positions, frame + 1).subtract(found(positions, frame)).doubleValue();
        assertTrue(
            step >= 1 / Math.max(slopeBefore, slopeAfter) - 1e-9
                && step <= 1 / Math.min(slopeBefore, slopeAfter) + 1e-9,
            "step " + step + " at knee " + knot);
      }
    }
  }

  @ParameterizedTest
  @CsvSource({"1.00006, 0.3", "0.99994, -0.5", "0.91875, 0", "2.0001, 0.9", "1, 5000.25"})
  void aStraightWayIsFirstAndSteps(double step, double first) {
    SourcePositions positions = SourcePositions.straight(step, first);
    Random random = new Random(10);
    for (int i = 0; i < 10_000; i++) {
      long frame = random.nextInt(Integer.MAX_VALUE);
      double position = first + frame * step;
      positions.goTo(frame);
      assertEquals((long) Math.floor(position), positions.index());
      assertEquals(position - (long) Math.floor(position), positions.fraction());
    }
  }

  @Test
  void itCountsTheFramesThatTheSourceHas() {
    int rate = 48_000;
    long start = (long) Math.ceil(CLOCK.referenceSeconds(0) * rate);
    SourcePositions positions = SourcePositions.of(CLOCK, rate, rate, start);
    Random random = new Random(11);
    for (int i = 0; i < 1000; i++) {
      long source = 1 + (long) (random.nextDouble() * 93_000 * rate);
      long frames = positions.framesWithin(source);
      assertTrue(found(positions, frames - 1).compareTo(BigDecimal.valueOf(source)) < 0);
      assertTrue(found(positions, frames).compareTo(BigDecimal.valueOf(source)) >= 0);
    }
    assertEquals(0, positions.framesWithin(0));
  }

  @Test
  void aLaneBeginsAtMostAFrameBeforeItsSource() {
    assertThrows(
        IllegalArgumentException.class, () -> SourcePositions.of(CLOCK, 48_000, 48_000, 0));
    assertThrows(IllegalArgumentException.class, () -> SourcePositions.straight(0, 0));
  }
}
