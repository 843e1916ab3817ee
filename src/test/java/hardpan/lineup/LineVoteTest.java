package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.LineVote.Line;
import hardpan.lineup.LineVote.Point;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class LineVoteTest {
  private static final double SEARCHED = 0.6;

  /** Windows that have nothing in common: their peaks lie anywhere. */
  private static List<Point> chance(Random random, int windows, int peaks, double spacing) {
    List<Point> points = new ArrayList<>();
    for (int w = 0; w < windows; w++) {
      for (int p = 0; p < peaks; p++) {
        double delay = 100 + SEARCHED * (random.nextDouble() - 0.5);
        points.add(new Point(w, w * spacing, delay, 7 + 8 * random.nextDouble()));
      }
    }
    return points;
  }

  @Test
  void windowsThatHaveNothingInCommonAreNeverBelieved() {
    for (int seed = 0; seed < 2000; seed++) {
      Random random = new Random(seed);
      int windows = 3 + random.nextInt(18);
      int peaks = 1 + random.nextInt(4);
      List<Point> points = chance(random, windows, peaks, 1 + random.nextInt(60));
      Line line = LineVote.vote(points, windows, SEARCHED);
      assertFalse(line.believable(), "seed " + seed + ": " + line);
    }
  }

  /** The chance is an upper bound: accidents must not be rarer in the figure than in the trial. */
  @Test
  void theChanceThatIsToldIsNotTooSmall() {
    int trials = 1000;
    int belowOnePerCent = 0;
    for (int seed = 0; seed < trials; seed++) {
      Line line = LineVote.vote(chance(new Random(seed), 12, 3, 5), 12, SEARCHED);
      if (line.chanceLog10() <= -2) {
        belowOnePerCent++;
      }
    }
    assertTrue(belowOnePerCent <= 0.015 * trials, belowOnePerCent + " of " + trials);
  }

  @Test
  void halfTheWindowsOnOneLineAreBelieved() {
    for (int seed = 0; seed < 50; seed++) {
      Random random = new Random(seed);
      List<Point> points = chance(random, 16, 2, 7);
      for (int w = 0; w < 16; w += 2) {
        double seconds = 7.0 * w;
        points.add(new Point(w, seconds, 100.05 + 60e-6 * seconds, 9));
      }
      Line line = LineVote.vote(points, 16, SEARCHED);
      assertTrue(line.believable(), "seed " + seed);
      assertEquals(100.05, line.interceptSeconds(), 4e-4, "seed " + seed);
      assertEquals(60e-6, line.slope(), 1.2e-5, "seed " + seed);
      assertTrue(line.windowsOnLine() >= 8);
    }
  }

  @Test
  void noPointsGiveNoLine() {
    Line line = LineVote.vote(List.of(), 5, SEARCHED);
    assertEquals(0, line.windowsOnLine());
    assertFalse(line.believable());
    Line lone = LineVote.vote(List.of(new Point(0, 1, 1, 9), new Point(1, 9, 1, 9)), 2, SEARCHED);
    assertFalse(lone.believable());
  }
}
