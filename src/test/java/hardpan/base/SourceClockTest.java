package hardpan.base;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Clocks held against the formula in their own words, worked out by hand. */
class SourceClockTest {
  private static final double[] KNOTS = {10, 400, 880};
  private static final double[] BESIDE = {-0.0002, 0.0003, -0.0001};

  private static final SourceClock BENT = SourceClock.bent(12.5, 20, KNOTS, BESIDE);

  @Test
  void aStraightClockIsTheFormula() {
    SourceClock clock = SourceClock.straight(132.482916667, 23.41);
    assertTrue(clock.isStraight());
    // The example of docs/report-format.md.
    assertEquals(732.496962667, clock.referenceSeconds(600), 1e-9);
    assertEquals(600, clock.sourceSeconds(732.496962667), 1e-9);
    assertEquals(0, clock.besideSeconds(77));
    assertEquals(1, clock.pieces().size());
    assertEquals(1 + 23.41e-6, clock.pieces().get(0).slope());
    assertEquals(23.41e-6 * 600, clock.farthestSeconds(600), 1e-15);
  }

  @Test
  void aBentClockGoesThroughItsKnotsAndOnBeyondThem() {
    assertFalse(BENT.isStraight());
    for (int i = 0; i < KNOTS.length; i++) {
      assertEquals(BESIDE[i], BENT.besideSeconds(KNOTS[i]), 1e-18);
      assertEquals(12.5 + KNOTS[i] * 1.00002 + BESIDE[i], BENT.referenceSeconds(KNOTS[i]), 1e-12);
    }
    assertEquals(0.00005, BENT.besideSeconds(205), 1e-15);
    assertEquals(-0.0002 - 0.0005 / 390 * 10, BENT.besideSeconds(0), 1e-15);
    assertEquals(-0.0001 - 0.0004 / 480 * 20, BENT.besideSeconds(900), 1e-15);
  }

  @Test
  void itIsAskedBothWays() {
    for (double at = -20; at < 1000; at += 7.31) {
      assertEquals(at, BENT.sourceSeconds(BENT.referenceSeconds(at)), 1e-11);
    }
  }

  @Test
  void itsPiecesMeetAtTheKneesOnly() {
    List<SourceClock.Piece> pieces = BENT.pieces();
    assertEquals(2, pieces.size());
    assertEquals(Double.NEGATIVE_INFINITY, pieces.get(0).fromSourceSeconds());
    assertEquals(400, pieces.get(1).fromSourceSeconds());
    assertEquals(1.00002 + 0.0005 / 390, pieces.get(0).slope(), 1e-15);
    assertEquals(1.00002 - 0.0004 / 480, pieces.get(1).slope(), 1e-15);
  }

  /** Drift and bend may add up, or undo each other; the most lies at a knot or an end. */
  @Test
  void theFarthestCountsDriftAndBend() {
    SourceClock up = SourceClock.bent(5, 0, new double[] {0, 500, 1000}, new double[] {0, 4e-3, 0});
    assertEquals(4e-3, up.farthestSeconds(1000), 1e-15);
    assertEquals(8e-6 * 250, up.farthestSeconds(250), 1e-15);
    SourceClock undone =
        SourceClock.bent(5, 8, new double[] {0, 500, 1000}, new double[] {0, -4e-3, 0});
    assertEquals(8e-3, undone.farthestSeconds(1000), 1e-15);
    assertEquals(0, undone.farthestSeconds(500), 1e-15);
    SourceClock late =
        SourceClock.bent(5, 0, new double[] {0, 500, 1000}, new double[] {-3e-3, 1e-3, 1e-3});
    assertEquals(3e-3, late.farthestSeconds(1000), 1e-15);
  }

  @Test
  void whatDoesNotRunForwardIsNoClock() {
    double[] ends = {0, 1};
    assertThrows(IllegalArgumentException.class, () -> SourceClock.straight(Double.NaN, 0));
    assertThrows(IllegalArgumentException.class, () -> SourceClock.straight(0, -1e6));
    assertThrows(IllegalArgumentException.class, () -> SourceClock.straight(0, Double.NaN));
    assertThrows(
        IllegalArgumentException.class, () -> SourceClock.bent(0, 0, ends, new double[] {0, -1.5}));
    assertThrows(
        IllegalArgumentException.class,
        () -> SourceClock.bent(0, 0, new double[] {1, 0}, new double[] {0, 0}));
    assertThrows(
        IllegalArgumentException.class,
        () -> SourceClock.bent(0, 0, new double[] {1}, new double[] {0}));
    assertThrows(
        IllegalArgumentException.class, () -> SourceClock.bent(0, 0, ends, new double[] {0}));
  }
}
