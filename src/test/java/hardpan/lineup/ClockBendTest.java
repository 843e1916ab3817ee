package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
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

  private static double[] times(int windows, double length) {
    double[] times = new double[windows];
    Arrays.setAll(times, i -> length * (i + 0.5) / windows);
    return times;
  }

  private static double[] seen(
      double[] x, DoubleUnaryOperator course, double noise, Random random) {
    return Arrays.stream(x)
        .map(t -> course.applyAsDouble(t) + noise * random.nextGaussian())
        .toArray();
  }

  /** With many windows a jump could hide in a steep piece; of any size it is told as none. */
  @ParameterizedTest
  @CsvSource({"20", "75"})
  void aJumpOfAnySizeIsNoBend(int windows) {
    Random random = new Random(81);
    double[] x = times(windows, 1800);
    for (int trial = 0; trial < 300; trial++) {
      double size = Math.pow(10, -4.5 + 3 * random.nextDouble());
      double noise = Math.pow(10, -6 + random.nextDouble());
      double at = 1800 * random.nextDouble();
      double[] y = seen(x, t -> t < at ? 0 : size, noise, random);
      assertNull(
          ClockBend.of(x, besideTheirLine(x, y)),
          String.format(
              Locale.ROOT, "seed 81, trial %d: %.3f ms at %.0f s", trial, 1000 * size, at));
    }
  }

  @Test
  void aWarmClockThatJumpsIsLeftStraight() {
    Random random = new Random(82);
    double[] x = times(75, 900);
    for (int trial = 0; trial < 50; trial++) {
      double at = random.nextDouble(150, 750);
      double[] y =
          seen(x, t -> 1e-3 * (1 - Math.exp(-t / 250)) + (t < at ? 0 : 2e-3), 3e-6, random);
      assertNull(ClockBend.of(x, besideTheirLine(x, y)), "seed 82, trial " + trial);
    }
  }

  /** Courses of crystals that warm up, as many fine windows show them: by few microseconds. */
  @ParameterizedTest
  @CsvSource({
    "75, 900, 0.5, 250, 2, 20",
    "75, 900, 1, 250, 2, 25",
    "75, 900, 3, 250, 2, 50",
    "75, 900, 1, 250, 15, 80",
    "150, 1800, 3, 900, 5, 40"
  })
  void aSmoothCourseIsFollowedByManyPieces(
      int windows,
      double length,
      double byMs,
      double withinSeconds,
      double noiseMicros,
      double allowedMicros) {
    Random random = new Random(83);
    double[] x = times(windows, length);
    DoubleUnaryOperator course = t -> 1e-3 * byMs * (1 - Math.exp(-t / withinSeconds));
    double[] straight = besideTheirLine(x, seen(x, course, 0, random));
    for (int trial = 0; trial < 10; trial++) {
      double[] y = seen(x, course, 1e-6 * noiseMicros, random);
      ClockBend bend = ClockBend.of(x, besideTheirLine(x, y));
      assertNotNull(bend, "seed 83, trial " + trial);
      assertTrue(bend.knots().size() <= 10, bend.toString());
      for (int i = 0; i < windows; i++) {
        assertEquals(
            straight[i],
            bend.besideSeconds(x[i]),
            1e-6 * allowedMicros,
            "seed 83, trial " + trial + ", window " + i);
      }
    }
  }

  /** Three knees are three knots, not more. */
  @Test
  void noKnotIsToldThatIsNotProved() {
    Random random = new Random(84);
    double[] x = times(90, 3600);
    for (int trial = 0; trial < 10; trial++) {
      double[] y = seen(x, t -> 5e-6 * Math.abs(t % 1800 - 900), 5e-6, random);
      ClockBend bend = ClockBend.of(x, besideTheirLine(x, y));
      assertNotNull(bend, "seed 84, trial " + trial);
      assertEquals(5, bend.knots().size(), "seed 84, trial " + trial);
      for (int knee = 1; knee <= 3; knee++) {
        assertEquals(900 * knee, bend.knots().get(knee).sourceSeconds(), 10);
      }
    }
  }
}
