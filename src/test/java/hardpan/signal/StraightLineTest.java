package hardpan.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

class StraightLineTest {
  /** The first guess is right, the first fit is drawn away by the strays, and must come back. */
  @Test
  void straysOnOneSideDoNotLoseThePoints() {
    double[] x = new double[20];
    double[] y = new double[20];
    for (int i = 0; i < x.length; i++) {
      x[i] = 20 * i;
      boolean strays = i % 4 == 3;
      y[i] = 27 + 1e-5 * x[i] + (i % 2 == 0 ? 1e-6 : -1e-6) - (strays ? 1.4e-3 : 0);
    }
    StraightLine line = StraightLine.fit(x, y, 27, 1e-5, 3e-3, 2e-6, 0, 40e-6);
    assertEquals(15, line.pointsUsed());
    assertEquals(27, line.intercept(), 2e-6);
    assertEquals(1e-5, line.slope(), 1e-8);
  }
}
