package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

class DeviceClocksTest {
  /** Windows every four seconds that scatter by a hundredth of a millisecond. */
  private static Placement placed(double driftPpm, int windowCount) {
    List<Placement.Window> windows = new ArrayList<>();
    for (int i = 0; i < windowCount; i++) {
      double seconds = 4.0 * i;
      double scatter = (i % 2 == 0 ? 1 : -1) * 1e-5;
      windows.add(new Placement.Window(seconds, 10 + driftPpm * 1e-6 * seconds + scatter, true));
    }
    return new Placement(
        Placement.State.PLACED,
        10.0,
        driftPpm,
        false,
        0.99,
        0.01,
        4.0 * windowCount,
        0,
        0,
        "",
        windows);
  }

  private static Map<String, Placement> shared(Map<String, Placement> placements) {
    Map<String, String> oneDevice = new LinkedHashMap<>();
    placements.keySet().forEach(id -> oneDevice.put(id, "CAM-A"));
    return DeviceClocks.share(placements, oneDevice);
  }

  @Test
  void sourcesThatContradictEachOtherKeepTheirOwnClocks() {
    Map<String, Placement> placements = new LinkedHashMap<>();
    placements.put("a", placed(60, 30));
    placements.put("b", placed(-60, 30));
    placements.put("c", placed(-60.1, 30));
    Map<String, Placement> result = shared(placements);
    assertSame(placements.get("a"), result.get("a"));
    Placement b = result.get("b");
    assertNotNull(b);
    assertEquals(-60, b.driftPpm() == null ? 0 : b.driftPpm(), 0.5);
  }

  @Test
  void aLongClipSteadiesAShortOne() {
    Map<String, Placement> placements = new LinkedHashMap<>();
    placements.put("long", placed(30, 60));
    placements.put("short", placed(31.5, 4));
    Placement result = shared(placements).get("short");
    assertNotNull(result);
    Double drift = result.driftPpm();
    assertNotNull(drift);
    assertTrue(Math.abs(drift - 30) < 1, "drift " + drift);
  }
}
