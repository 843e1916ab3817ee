package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.demo.DemoCheck.Found;
import hardpan.demo.DemoCheck.Row;
import hardpan.demo.DemoTruth.ChannelTruth;
import hardpan.demo.DemoTruth.PlacementTruth;
import hardpan.demo.DemoTruth.SourceTruth;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** The comparison, fed with right and wrong answers. */
class DemoCheckTest {
  private static final DemoTruth TRUTH = DemoShoot.truth();
  private static final String HOT = "CAM-B/VID_0107.MP4";
  private static final String FAR = "CAM-D/HALL0019.MP4";
  private static final String STRANGER = "CAM-E/OLD_0342.MP4";

  private static Map<String, Found> right() {
    Map<String, Found> found = new HashMap<>();
    for (SourceTruth source : TRUTH.sources()) {
      PlacementTruth place = source.placement();
      List<String> overloads = source.channels().stream().map(ChannelTruth::overload).toList();
      found.put(
          source.path(),
          place == null
              ? new Found(null, null, null, null, source.pair(), overloads)
              : new Found(
                  place.state(),
                  place.offsetSeconds(),
                  place.driftPpm(),
                  place.inverted(),
                  source.pair(),
                  overloads));
    }
    return found;
  }

  private static Row row(Map<String, Found> found, String path, String question) {
    return DemoCheck.compare(TRUTH, found).stream()
        .filter(row -> row.path().equals(path) && row.question().equals(question))
        .findFirst()
        .orElseThrow();
  }

  private static void change(
      Map<String, Found> found, String path, double addSeconds, double addPpm, boolean inverted) {
    Found one = found.get(path);
    assertNotNull(one);
    Double offset = one.offsetSeconds();
    Double drift = one.driftPpm();
    assertNotNull(offset);
    assertNotNull(drift);
    found.put(
        path,
        new Found(
            one.state(),
            offset + addSeconds,
            drift + addPpm,
            inverted,
            one.pair(),
            one.overloads()));
  }

  @Test
  void theTruthItselfIsRight() {
    List<Row> rows = DemoCheck.compare(TRUTH, right());
    assertEquals(7 + 6 + 7, rows.size());
    rows.forEach(row -> assertTrue(row.ok(), row.toString()));
  }

  @Test
  void nothingFoundIsWrongEverywhere() {
    List<Row> rows = DemoCheck.compare(TRUTH, Map.of());
    assertEquals(20, rows.size());
    rows.forEach(row -> assertFalse(row.ok(), row.toString()));
  }

  /** 100 s at 1 ppm more are 0.1 ms at the end: worked by hand. */
  @Test
  void errorsAreToldAtStartMiddleAndEnd() {
    Map<String, Found> found = right();
    change(found, HOT, 0.00002, 1, false);
    Row row = row(found, HOT, "placement");
    assertClose(0.02, row.startErrorMs());
    assertClose(0.07, row.middleErrorMs());
    assertClose(0.12, row.endErrorMs());
    assertFalse(row.ok());
    change(found, HOT, 0, -1, false);
    assertTrue(row(found, HOT, "placement").ok());
  }

  private static void assertClose(double expected, @Nullable Double got) {
    assertNotNull(got);
    assertEquals(expected, got, 1e-6);
  }

  @Test
  void aFarCameraMayBeOffByAMillisecondAWireMayNot() {
    Map<String, Found> found = right();
    change(found, FAR, 0.0009, 0, false);
    change(found, HOT, 0.0009, 0, false);
    assertTrue(row(found, FAR, "placement").ok());
    assertFalse(row(found, HOT, "placement").ok());
  }

  @Test
  void wrongPolarityIsWrong() {
    Map<String, Found> found = right();
    change(found, HOT, 0, 0, true);
    Row row = row(found, HOT, "placement");
    assertFalse(row.ok());
    assertTrue(row.got().contains("inverted"), row.got());
  }

  @Test
  void aStrangerThatWasPlacedIsWrong() {
    Map<String, Found> found = right();
    found.put(STRANGER, new Found("placed", 12.0, 0.0, false, "stereo", List.of("none", "none")));
    assertFalse(row(found, STRANGER, "placement").ok());
    assertTrue(row(found, STRANGER, "pair").ok());
  }

  @Test
  void wrongWordsAreWrong() {
    Map<String, Found> found = right();
    Found one = found.get(HOT);
    assertNotNull(one);
    found.put(
        HOT,
        new Found(
            one.state(),
            one.offsetSeconds(),
            one.driftPpm(),
            one.inverted(),
            "stereo",
            List.of("occasional", "none")));
    assertFalse(row(found, HOT, "pair").ok());
    assertFalse(row(found, HOT, "overload").ok());
  }
}
