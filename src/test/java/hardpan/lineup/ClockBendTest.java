package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Clocks of known course, seen through noise; the course is the formula's. */
class ClockBendTest {
  private static final int WINDOWS = 20;

  private static double[] times(double length) {
    double[] times = new double[WINDOWS];
    for (int i = 0; i < WINDOWS; i++) {
      times[i] = length * (i + 0.5) / WINDOWS;
    }
    return times;
  }

  /** A straight line through points taken away, as the place's own line is. */
  private static double[] besideTheirLine(double[] x, double[] y) {
    double xMean = Arrays.stream(x).average().orElse(0);
    double yMean = Arrays.stream(y).average().orElse(0);
    double sxx = 0;
    double sxy = 0;
    for (int i = 0; i < x.length; i++) {
      sxx += (x[i] - xMean) * (x[i] - xMean);
      sxy += (x[i] - xMean) * (y[i] - yMean);
    }
    double[] rest = new double[y.length];
    for (int i = 0; i < y.length; i++) {
      rest[i] = y[i] - yMean - sxy / sxx * (x[i] - xMean);
    }
    return rest;
  }

  @Test
  void noiseNeverBendsAClock() {
    Random random = new Random(77);
    double[] x = times(7200);
    for (int trial = 0; trial < 5000; trial++) {
      double size = Math.pow(10, -6 + 4 * random.nextDouble());
      double[] y = new double[WINDOWS];
      for (int i = 0; i < WINDOWS; i++) {
        // Every tenth window heard an echo.
        y[i] = size * random.nextGaussian() * (random.nextInt(10) == 0 ? 20 : 1);
      }
      assertNull(ClockBend.of(x, besideTheirLine(x, y)), "seed 77, trial " + trial);
    }
  }

  @Test
  void oneWhoSpeaksFromElsewhereIsNoBend() {
    Random random = new Random(78);
    double[] x = times(7200);
    for (int trial = 0; trial < 500; trial++) {
      double[] y = new double[WINDOWS];
      int from = 1 + random.nextInt(WINDOWS - 2);
      for (int i = 0; i < WINDOWS; i++) {
        y[i] = 5e-6 * random.nextGaussian() + (i >= from ? 3e-3 : 0);
      }
      assertNull(ClockBend.of(x, besideTheirLine(x, y)), "seed 78, trial " + trial);
    }
  }

  @Test
  void shortSourcesAndFewWindowsAreLeftStraight() {
    double[] x = times(300);
    double[] y = Arrays.stream(x).map(t -> Math.abs(t - 150) * 1e-5).toArray();
    assertNull(ClockBend.of(x, besideTheirLine(x, y)));
    assertNull(ClockBend.of(new double[] {0, 4000, 7200}, new double[] {0, 1e-3, 0}));
  }

  /** One knee: after {@code knee} seconds the clock runs by {@code ppm} faster. */
  @ParameterizedTest
  @CsvSource({"7200, 3600, 0.5", "7200, 2000, -1", "3600, 2400, 2", "1200, 600, 3"})
  void aKneeIsFoundAndFollowed(double length, double knee, double ppm) {
    Random random = new Random(79);
    double[] x = times(length);
    double[] truth = Arrays.stream(x).map(t -> Math.max(0, t - knee) * ppm * 1e-6).toArray();
    double[] y = new double[WINDOWS];
    for (int i = 0; i < WINDOWS; i++) {
      y[i] = truth[i] + 3e-6 * random.nextGaussian();
    }
    double[] straight = besideTheirLine(x, truth);
    ClockBend bend = ClockBend.of(x, besideTheirLine(x, y));
    assertNotNull(bend, "seed 79");
    for (int i : new int[] {0, WINDOWS / 2, WINDOWS - 1}) {
      assertEquals(straight[i], bend.besideSeconds(x[i]), 20e-6, "window " + i);
    }
  }

  /** A clock that warms up: its drift dies away by a law of nature. */
  @Test
  void aClockThatWarmsUpIsFollowedByFewPieces() {
    Random random = new Random(80);
    double[] x = times(7200);
    double[] truth = Arrays.stream(x).map(t -> 1.5e-3 * (1 - Math.exp(-t / 1800))).toArray();
    double[] y = new double[WINDOWS];
    for (int i = 0; i < WINDOWS; i++) {
      y[i] = truth[i] + 20e-6 * random.nextGaussian();
    }
    double[] straight = besideTheirLine(x, truth);
    ClockBend bend = ClockBend.of(x, besideTheirLine(x, y));
    assertNotNull(bend, "seed 80");
    for (int i : new int[] {0, WINDOWS / 2, WINDOWS - 1}) {
      assertEquals(straight[i], bend.besideSeconds(x[i]), 100e-6, "window " + i);
    }
  }
}
