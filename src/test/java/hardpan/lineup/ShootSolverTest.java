package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.SourceClock;
import hardpan.lineup.Placement.State;
import hardpan.lineup.ShootSolver.Node;
import hardpan.lineup.ShootSolver.Pair;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** Shoots whose matches are made up, so that the truth is known and the sound plays no part. */
class ShootSolverTest {
  private static final String REC = "REC/take.wav";

  private final List<Node> nodes = new ArrayList<>(List.of(new Node(REC, "REC", 3600)));
  private final Map<Pair, Placement> matches = new LinkedHashMap<>();
  private final Map<String, Double> pins = new LinkedHashMap<>();
  private final List<Pair> asked = new ArrayList<>();

  private void source(String id, String device, double seconds) {
    nodes.add(new Node(id, device, seconds));
  }

  /** A match of a source that lies {@code offset} after the host's start. */
  private void match(String source, String host, double offset, double ppm, int windows) {
    match(source, host, offset, ppm, windows, 0.99, false);
  }

  private void match(
      String source,
      String host,
      double offset,
      double ppm,
      int windowCount,
      double confidence,
      boolean inverted) {
    List<Placement.Window> windows = new ArrayList<>();
    for (int i = 0; i < windowCount; i++) {
      double seconds = 4.0 * i;
      double scatter = (i % 2 == 0 ? 1 : -1) * 1e-5;
      windows.add(new Placement.Window(seconds, offset + ppm * 1e-6 * seconds + scatter, true));
    }
    matches.put(
        new Pair(source, host),
        new Placement(
            State.PLACED,
            offset,
            ppm,
            inverted,
            confidence,
            0.01,
            4.0 * windowCount,
            1,
            2,
            "Made up.",
            windows));
  }

  /** A device's speed is shared; what the windows say of a bend stays where they were. */
  @Test
  void aBendStaysWithItsWindowsWhenTheLineMoves() {
    source("A/1", "A", 3000);
    source("A/2", "A", 3000);
    match("A/1", REC, 100, 20.5, 5);
    match("A/2", REC, 200, 20.0, 700);
    Placement own = matches.get(new Pair("A/1", REC));
    assertNotNull(own);
    List<ClockBend.Knot> knots =
        List.of(
            new ClockBend.Knot(10, -4e-4),
            new ClockBend.Knot(400, 9e-4),
            new ClockBend.Knot(780, -5e-4));
    ClockBend bend = new ClockBend(knots, 0.01, 0.9);
    matches.put(
        new Pair("A/1", REC),
        own.with(new Placement.Notes(List.of(), List.of(), false, null, bend)));
    Placement moved = solve().get("A/1");
    assertNotNull(moved);
    Double drift = moved.driftPpm();
    assertNotNull(drift);
    assertTrue(Math.abs(drift - 20.5) > 1e-3, "the line must move: " + drift);
    SourceClock clock = moved.clock();
    ClockBend told = moved.notes().bend();
    assertNotNull(clock);
    assertNotNull(told);
    double largest = 0;
    for (ClockBend.Knot knot : knots) {
      double at = knot.sourceSeconds();
      assertEquals(
          100 + at * (1 + 20.5e-6) + knot.besideSeconds(), clock.referenceSeconds(at), 1e-9);
      largest = Math.max(largest, Math.abs(told.besideSeconds(at)));
    }
    assertEquals(1000 * largest, told.largestMs(), 1e-9);
    assertEquals(0.01, told.residualMs());
  }

  private Map<String, Placement> solve() {
    return new ShootSolver(
            nodes,
            REC,
            pins,
            pairs -> {
              asked.addAll(pairs);
              return pairs.stream()
                  .map(p -> matches.getOrDefault(p, Placement.unplaced("No common sound.", 0.9)))
                  .toList();
            })
        .solve();
  }

  private static Placement of(Map<String, Placement> solution, String id) {
    Placement placement = solution.get(id);
    assertNotNull(placement, id);
    return placement;
  }

  private static void assertPlace(Placement placement, double offset, double ppm, double within) {
    assertEquals(State.PLACED, placement.state(), placement.why());
    Double found = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    assertNotNull(found);
    assertNotNull(drift);
    assertEquals(offset, found, within, placement.why());
    assertEquals(ppm, drift, 1, placement.why());
  }

  @Test
  void aSingleMatchKeepsItsLine() {
    source("A", "CAM-A", 100);
    match("A", REC, 12.5, 30, 20);
    Placement placement = of(solve(), "A");
    assertPlace(placement, 12.5, 30, 1e-5);
    assertEquals(List.of(), placement.via());
    assertEquals("Made up.", placement.why());
    assertEquals(2, placement.referenceChannel());
  }

  @Test
  void whatTheReferenceDoesNotKnowIsPlacedThroughANeighbour() {
    source("A", "CAM-A", 2000);
    source("B", "CAM-B", 100);
    match("A", REC, 2500, 50, 40);
    match("B", "A", 1500, -20, 20, 0.9, true);
    Placement placement = of(solve(), "B");
    // B's second 0 is A's second 1500, which lies at 2500 + 1500 x (1 + 50e-6) on the reference.
    assertPlace(placement, 4000.075, 30, 2e-5);
    assertEquals(List.of("A"), placement.via());
    assertTrue(placement.inverted());
    assertEquals(0.99 * 0.9, placement.confidence(), 1e-9);
    assertNull(placement.referenceChannel());
    assertEquals(1, placement.channel());
    assertTrue(placement.why().contains("through A"), placement.why());
    double delay = placement.windows().get(19).delaySeconds();
    assertEquals(4000.075 + 76 * 30e-6, delay, 3e-5);
  }

  @Test
  void aChainOfNeighboursIsFollowed() {
    source("A", "CAM-A", 1000);
    source("B", "CAM-B", 1000);
    source("C", "CAM-C", 1000);
    match("A", REC, 3000, 0, 20);
    match("B", "A", 900, 0, 20);
    match("C", "B", 900, 0, 20);
    Map<String, Placement> solution = solve();
    assertPlace(of(solution, "C"), 4800, 0, 1e-3);
    assertEquals(List.of("B", "A"), of(solution, "C").via());
    assertEquals(List.of("A"), of(solution, "B").via());
  }

  /** A weak match with the reference contradicts two neighbours that agree. */
  @Test
  void aRingThatDoesNotCloseNamesTheBadMatch() {
    source("A", "CAM-A", 300);
    source("B", "CAM-B", 300);
    source("C", "CAM-C", 300);
    match("A", REC, 100, 10, 20);
    match("B", REC, 150, -10, 20);
    match("C", REC, 170, 5, 4, 0.8, false);
    match("C", "A", 25, -5, 12);
    match("C", "B", -25, 15, 12);
    // The neighbours say 125: A at 100 + 25, B at 150 - 25. The reference's 170 overlaps both.
    Placement placement = of(solve(), "C");
    assertEquals(State.PLACED, placement.state(), placement.why());
    Double offset = placement.offsetSeconds();
    assertNotNull(offset);
    assertEquals(125, offset, 0.01);
    assertEquals(1, placement.via().size());
    assertTrue(placement.why().contains("match with the reference contradicts"), placement.why());
    assertPlace(of(solve(), "A"), 100, 10, 1e-4);
  }

  @Test
  void aBadMatchBetweenNeighboursMovesNobody() {
    source("A", "CAM-A", 300);
    source("B", "CAM-B", 300);
    match("A", REC, 100, 10, 20, 0.8, false);
    match("B", REC, 150, -10, 20);
    match("A", "B", 3, 0, 5);
    Map<String, Placement> solution = solve();
    assertPlace(of(solution, "A"), 100, 10, 1e-5);
    assertPlace(of(solution, "B"), 150, -10, 1e-5);
    assertTrue(of(solution, "A").why().contains("match with B"), of(solution, "A").why());
  }

  @Test
  void aRingThatCouldBreakAnywhereIsAmbiguous() {
    source("A", "CAM-A", 300);
    source("B", "CAM-B", 300);
    match("A", REC, 100, 0, 10, 0.8, false);
    match("B", REC, 150, 0, 10);
    match("A", "B", 30, 0, 10);
    Map<String, Placement> solution = solve();
    Placement placement = of(solution, "A");
    assertEquals(State.AMBIGUOUS, placement.state());
    assertTrue(placement.why().contains("100.000") && placement.why().contains("180.000"));
    Double best = placement.offsetSeconds();
    assertNotNull(best);
    assertEquals(1, placement.otherOffsetsSeconds().size());
    assertEquals(best < 140 ? 180 : 100, placement.otherOffsetsSeconds().get(0), 1e-3);
    assertFalse(placement.isPinned());
  }

  /** Sound that came 20 ms later to one of them is no contradiction. */
  @Test
  void flightTimesDoNotBreakARing() {
    source("A", "CAM-A", 300);
    source("B", "CAM-B", 300);
    match("A", REC, 100, 0, 10, 0.8, false);
    match("B", REC, 150, 0, 10);
    match("A", "B", -50.02, 0, 10);
    Map<String, Placement> solution = solve();
    assertPlace(of(solution, "A"), 100, 0, 1e-4);
    assertFalse(of(solution, "A").why().contains("dropped"));
  }

  @Test
  void aPinHoldsAndTheRestFollowsIt() {
    source("A", "CAM-A", 1000);
    source("B", "CAM-B", 1000);
    match("B", "A", 200, 0, 20);
    pins.put("A", 5000.25);
    Map<String, Placement> solution = solve();
    Placement pinned = of(solution, "A");
    assertPlace(pinned, 5000.25, 0, 1e-12);
    assertEquals(1, pinned.confidence());
    assertTrue(pinned.why().startsWith("Pinned by hand"), pinned.why());
    assertPlace(of(solution, "B"), 5200.25, 0, 1e-3);
    assertEquals(List.of("A"), of(solution, "B").via());
  }

  @Test
  void aPinWinsOverItsOwnSoundAndLeavesItsNeighboursAlone() {
    source("A", "CAM-A", 1000);
    source("B", "CAM-B", 1000);
    match("A", REC, 100, 40, 20);
    match("B", REC, 300, -40, 20, 0.8, false);
    match("B", "A", 200, -80, 20);
    pins.put("A", 700.0);
    Map<String, Placement> solution = solve();
    assertPlace(of(solution, "A"), 700, 40, 1e-12);
    assertTrue(of(solution, "A").why().contains("100.000"), of(solution, "A").why());
    assertTrue(of(solution, "A").isPinned());
    assertEquals(List.of(100.0), of(solution, "A").otherOffsetsSeconds());
    assertPlace(of(solution, "B"), 300, -40, 1e-4);
  }

  @Test
  void aLongClipSteadiesAShortOneOfItsDevice() {
    source("long", "CAM-A", 240);
    source("short", "CAM-A", 16);
    match("long", REC, 10, 30, 60);
    match("short", REC, 400, 31.5, 4);
    Double drift = of(solve(), "short").driftPpm();
    assertNotNull(drift);
    assertEquals(30, drift, 1);
  }

  @Test
  void sourcesOfADeviceThatContradictEachOtherKeepTheirOwnClocks() {
    source("a", "CAM-A", 120);
    source("b", "CAM-A", 120);
    source("c", "CAM-A", 120);
    match("a", REC, 10, 60, 30);
    match("b", REC, 200, -60, 30);
    match("c", REC, 400, -60.1, 30);
    Map<String, Placement> solution = solve();
    assertPlace(of(solution, "a"), 10, 60, 1e-4);
    assertPlace(of(solution, "b"), 200, -60, 1e-4);
  }

  @Test
  void strangersStayOutAndAreNotAskedForEver() {
    source("A", "CAM-A", 1000);
    match("A", REC, 100, 0, 20);
    for (int i = 0; i < 20; i++) {
      source("S" + i, "CAM-" + i, 60);
    }
    Map<String, Placement> solution = solve();
    assertEquals(State.UNPLACED, of(solution, "S3").state());
    assertEquals(21 + 20, asked.size());
    assertEquals(asked.size(), asked.stream().distinct().count());
  }

  @Test
  void theReferenceCannotBePinned() {
    pins.put(REC, 1.0);
    assertThrows(IllegalArgumentException.class, this::solve);
  }
}
