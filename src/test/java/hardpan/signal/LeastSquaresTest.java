package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class LeastSquaresTest {
  /** Worked by hand: y = a + b x through (0, 1), (1, 3), (2, 4): a = 7/6, b = 3/2. */
  @Test
  void aLineThroughThreePoints() {
    LeastSquares task = new LeastSquares(2);
    double[][] points = {{0, 1}, {1, 3}, {2, 4}};
    for (double[] point : points) {
      task.add(new int[] {0, 1}, new double[] {1, point[0]}, point[1], 0.5);
    }
    task.solve();
    assertEquals(7 / 6.0, task.value(0), 1e-12);
    assertEquals(1.5, task.value(1), 1e-12);
    // Covariance: deviation squared times the inverse of ((3, 3), (3, 5)), that is of det 6.
    assertEquals(0.5 * Math.sqrt(5 / 6.0), task.deviation(0), 1e-12);
    assertEquals(0.5 * Math.sqrt(3 / 6.0), task.deviation(1), 1e-12);
  }

  @Test
  void manyUnknownsComeBack() {
    long seed = 20;
    SplittableRandom dice = new SplittableRandom(seed);
    int size = 40;
    double[] truth = dice.doubles(size, -5, 5).toArray();
    LeastSquares task = new LeastSquares(size);
    for (int i = 0; i < 400; i++) {
      int a = dice.nextInt(size);
      int b = (a + 1 + dice.nextInt(size - 1)) % size;
      double f = dice.nextDouble(-2, 2);
      task.add(new int[] {a, b}, new double[] {1, f}, truth[a] + f * truth[b], 0.1);
    }
    task.solve();
    for (int i = 0; i < size; i++) {
      assertEquals(truth[i], task.value(i), 1e-9, "seed " + seed + ", unknown " + i);
    }
  }

  @Test
  void whatNothingWasObservedOfIsZero() {
    LeastSquares task = new LeastSquares(2);
    task.add(new int[] {1}, new double[] {2}, 6, 1);
    task.solve();
    assertEquals(0, task.value(0), 1e-9);
    assertEquals(3, task.value(1), 1e-12);
  }

  @Test
  void anObservationNeedsADeviation() {
    LeastSquares task = new LeastSquares(1);
    assertThrows(
        IllegalArgumentException.class, () -> task.add(new int[] {0}, new double[] {1}, 1, 0));
    assertThrows(
        IllegalArgumentException.class,
        () -> task.add(new int[] {0}, new double[] {1}, Double.NaN, 1));
  }
}
