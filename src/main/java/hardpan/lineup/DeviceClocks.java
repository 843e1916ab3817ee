package hardpan.lineup;

import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Lets the sources of one device share its clock: the drift that the device's long clips measured
 * well steadies the drift of its short ones.
 */
public final class DeviceClocks {
  /** How far the clock of one device is trusted to wander between its clips. */
  private static final double WANDER = 0.7e-6;

  private static final double PRIOR_DEVIATION = 40e-6;
  private static final double LEAST_SCATTER_SECONDS = 2e-6;

  private DeviceClocks() {}

  /**
   * Measures all placements of each device again, with the drift of its other sources as a hint.
   *
   * @param placements by source id; unplaced ones pass through unchanged
   * @param deviceOf device by source id
   */
  public static Map<String, Placement> share(
      Map<String, Placement> placements, Map<String, String> deviceOf) {
    Map<String, List<String>> byDevice = new HashMap<>();
    for (String id : placements.keySet()) {
      byDevice.computeIfAbsent(deviceOf.getOrDefault(id, id), key -> new ArrayList<>()).add(id);
    }
    Map<String, Placement> result = new LinkedHashMap<>();
    for (Map.Entry<String, Placement> entry : placements.entrySet()) {
      List<String> family =
          byDevice.getOrDefault(deviceOf.getOrDefault(entry.getKey(), entry.getKey()), List.of());
      result.put(entry.getKey(), steadied(entry.getKey(), entry.getValue(), family, placements));
    }
    return result;
  }

  private static Placement steadied(
      String id, Placement placement, List<String> family, Map<String, Placement> placements) {
    double weightSum = 0;
    double driftSum = 0;
    for (String other : family) {
      Placement sibling = placements.get(other);
      if (other.equals(id) || sibling == null || sibling.driftPpm() == null) {
        continue;
      }
      double deviation = Math.hypot(driftDeviation(sibling), WANDER);
      double weight = 1 / (deviation * deviation);
      weightSum += weight;
      driftSum += weight * sibling.driftPpm() * 1e-6;
    }
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    if (weightSum <= 0 || offset == null || drift == null) {
      return placement;
    }
    double hintDeviation = Math.hypot(1 / Math.sqrt(weightSum), WANDER);
    if (hintDeviation > PRIOR_DEVIATION) {
      return placement;
    }
    List<Placement.Window> windows = placement.windows();
    StraightLine line =
        StraightLine.fit(
            windows.stream().mapToDouble(Placement.Window::sourceSeconds).toArray(),
            windows.stream().mapToDouble(Placement.Window::delaySeconds).toArray(),
            offset,
            drift * 1e-6,
            0.003,
            LEAST_SCATTER_SECONDS,
            driftSum / weightSum,
            hintDeviation);
    return new Placement(
        placement.state(),
        line.intercept(),
        line.slope() * 1e6,
        placement.inverted(),
        placement.confidence(),
        line.scatter() * 1000,
        placement.overlapSeconds(),
        placement.channel(),
        placement.referenceChannel(),
        placement.why(),
        windows);
  }

  /** Standard deviation of a placement's own drift, from its windows. */
  private static double driftDeviation(Placement placement) {
    double mean = 0;
    int count = 0;
    for (Placement.Window window : placement.windows()) {
      if (window.counted()) {
        mean += window.sourceSeconds();
        count++;
      }
    }
    mean /= Math.max(1, count);
    double spread = 0;
    for (Placement.Window window : placement.windows()) {
      if (window.counted()) {
        spread += (window.sourceSeconds() - mean) * (window.sourceSeconds() - mean);
      }
    }
    Double residualMs = placement.residualMs();
    double scatter = residualMs == null ? 1 : Math.max(residualMs / 1000, LEAST_SCATTER_SECONDS);
    return Math.min(PRIOR_DEVIATION, scatter / Math.sqrt(Math.max(spread, 1e-9)));
  }
}
