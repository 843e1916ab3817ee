package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Windows, order statistics, decibels and the line that outliers do not move. */
class NumbersTest {
  /** I0(12) = 18948.93 (M. Abramowitz and I. Stegun, section 9.8, value from memory). */
  @Test
  void kaiserWindowFallsFromOneToTheReciprocalOfItsBesselValue() {
    assertEquals(1, Windows.kaiserAt(0, 12), 1e-12);
    assertEquals(1 / 18948.93, Windows.kaiserAt(1 - 1e-12, 12), 1e-8);
    assertEquals(0, Windows.kaiserAt(1, 12));
    assertEquals(0, Windows.kaiserAt(-1.5, 12));
    assertEquals(1, Windows.kaiserAt(0.7, 0), 1e-12);
    assertEquals(Windows.kaiserAt(-0.4, 9), Windows.kaiserAt(0.4, 9));
  }

  @Test
  void hannWindowIsPeriodic() {
    assertArrayEquals(new float[] {0, 0.5f, 1, 0.5f}, Windows.hann(4), 1e-7f);
    float[] window = Windows.hann(64);
    for (int i = 0; i < 32; i++) {
      assertEquals(1, window[i] + window[i + 32], 1e-6);
    }
  }

  @Test
  void sincIsOneAtZeroAndZeroAtWholeNumbers() {
    assertEquals(1, Windows.sinc(0));
    assertEquals(1, Windows.sinc(1e-10), 1e-12);
    assertEquals(2 / Math.PI, Windows.sinc(0.5), 1e-12);
    for (int i = 1; i < 40; i++) {
      assertEquals(0, Windows.sinc(i), 1e-12);
    }
  }

  @Test
  void quantilesLieBetweenRanks() {
    double[] values = {4, 1, 3, 2};
    assertEquals(2.5, Statistics.median(values));
    assertEquals(1, Statistics.quantile(values, 0));
    assertEquals(4, Statistics.quantile(values, 1));
    assertEquals(1.75, Statistics.quantile(values, 0.25), 1e-12);
    assertArrayEquals(new double[] {4, 1, 3, 2}, values);
    assertTrue(Double.isNaN(Statistics.median(new double[0])));
    assertTrue(Double.isNaN(Statistics.robustDeviation(new double[0])));
  }

  @Test
  void robustDeviationOfNormalNumbersIsTheirDeviationDespiteOutliers() {
    Random random = new Random(9);
    double[] values = new double[20_000];
    for (int i = 0; i < values.length; i++) {
      values[i] = i % 40 == 0 ? 1e6 : 5 + 2 * random.nextGaussian();
    }
    assertEquals(2, Statistics.robustDeviation(values), 0.16);
  }

  @Test
  void decibelsAndBack() {
    assertEquals(-6.0206, Decibels.ofAmplitude(0.5), 1e-4);
    assertEquals(-3.0103, Decibels.ofPower(0.5), 1e-4);
    assertEquals(0.5, Decibels.toAmplitude(-6.0206), 1e-5);
    assertEquals(Double.NEGATIVE_INFINITY, Decibels.ofPower(0));
    assertEquals(Double.NEGATIVE_INFINITY, Decibels.ofAmplitude(-1));
  }

  private static final double NONE = Double.POSITIVE_INFINITY;

  @Test
  void exactPointsGiveTheExactLine() {
    double[] x = {0, 1, 2, 3, 10};
    double[] y = {5, 5.5, 6, 6.5, 10};
    StraightLine line = StraightLine.fit(x, y, 5.1, 0.45, 1, 1e-9, 0, NONE);
    assertEquals(5, line.intercept(), 1e-9);
    assertEquals(0.5, line.slope(), 1e-9);
    assertEquals(5, line.pointsUsed());
    assertEquals(1e-9, line.scatter());
    assertEquals(7, line.at(4), 1e-9);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
  void aThirdOfWrongPointsDoesNotMoveTheLine(long seed) {
    Random random = new Random(seed);
    double[] x = new double[30];
    double[] y = new double[30];
    for (int i = 0; i < x.length; i++) {
      x[i] = 20 * i;
      y[i] = 12.5 + 40e-6 * x[i] + 5e-6 * random.nextGaussian();
      if (i % 10 < 3) {
        y[i] += 2e-3 * (random.nextDouble() - 0.2);
      }
    }
    StraightLine line = StraightLine.fit(x, y, 12.5003, 30e-6, 0.003, 2e-6, 0, 40e-6);
    assertEquals(12.5, line.intercept(), 1e-5, "seed " + seed);
    assertEquals(40e-6, line.slope(), 3e-8, "seed " + seed);
    assertTrue(line.pointsUsed() >= 20, "seed " + seed);
  }

  @Test
  void thePriorHoldsTheSlopeWhereThePointsCannotTell() {
    double[] x = {5, 5, 5};
    double[] y = {1, 1.00001, 0.99999};
    StraightLine line = StraightLine.fit(x, y, 1, 0, 0.01, 1e-6, 30e-6, 1e-6);
    assertEquals(30e-6, line.slope(), 1e-12);
    assertEquals(1, line.at(5), 1e-9);
    StraightLine free = StraightLine.fit(x, y, 1, 0, 0.01, 1e-6, 30e-6, NONE);
    assertEquals(30e-6, free.slope(), 1e-12);
  }

  @Test
  void thePriorGivesWayToManyGoodPoints() {
    double[] x = new double[50];
    double[] y = new double[50];
    for (int i = 0; i < 50; i++) {
      x[i] = 30 * i;
      y[i] = 80e-6 * x[i];
    }
    StraightLine line = StraightLine.fit(x, y, 0, 80e-6, 0.003, 2e-6, 0, 40e-6);
    assertEquals(80e-6, line.slope(), 1e-9);
  }

  @Test
  void withoutPointsTheFirstGuessComesBack() {
    StraightLine none = StraightLine.fit(new double[0], new double[0], 3, 0.1, 1, 1e-6, 0, 1);
    assertEquals(0, none.pointsUsed());
    assertEquals(3, none.intercept());
    StraightLine far =
        StraightLine.fit(new double[] {1, 2}, new double[] {50, Double.NaN}, 3, 0.1, 1, 1e-6, 0, 1);
    assertEquals(0, far.pointsUsed());
    assertEquals(0.1, far.slope());
  }
}
