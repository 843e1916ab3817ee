package hardpan.lineup;

import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Lets the sources of one device share its clock: the drift that the device's long clips measured
 * well steadies the drift of its short ones. A hint that contradicts a source's own windows, or
 * siblings that contradict each other, change nothing.
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
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    Double residualMs = placement.residualMs();
    if (offset == null || drift == null || residualMs == null) {
      return placement;
    }
    Hint hint = hint(id, family, placements);
    double apart = Math.abs(drift * 1e-6 - hint.drift);
    // Sources that contradict each other do not share a clock, whatever their folders say.
    if (!hint.isUsable() || apart > 3 * Math.hypot(driftDeviation(placement), hint.deviation)) {
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
            hint.drift,
            hint.deviation);
    boolean fits = line.scatter() <= 1.5 * residualMs / 1000 + LEAST_SCATTER_SECONDS;
    if (!fits || line.pointsUsed() < 0.9 * countedWindows(placement)) {
      return placement;
    }
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

  /** What a source's siblings say of its clock. */
  private record Hint(double drift, double deviation) {
    boolean isUsable() {
      return deviation <= PRIOR_DEVIATION;
    }
  }

  private static final Hint NO_HINT = new Hint(0, Double.POSITIVE_INFINITY);

  private static Hint hint(String id, List<String> family, Map<String, Placement> placements) {
    List<Hint> siblings = new ArrayList<>();
    double weightSum = 0;
    double driftSum = 0;
    for (String other : family) {
      Placement sibling = placements.get(other);
      Double drift = sibling == null ? null : sibling.driftPpm();
      if (sibling == null || other.equals(id) || drift == null) {
        continue;
      }
      Hint one = new Hint(drift * 1e-6, Math.hypot(driftDeviation(sibling), WANDER));
      siblings.add(one);
      weightSum += 1 / (one.deviation * one.deviation);
      driftSum += one.drift / (one.deviation * one.deviation);
    }
    if (siblings.isEmpty()) {
      return NO_HINT;
    }
    double mean = driftSum / weightSum;
    for (Hint one : siblings) {
      if (Math.abs(one.drift - mean) > 3 * one.deviation) {
        return NO_HINT;
      }
    }
    return new Hint(mean, Math.hypot(1 / Math.sqrt(weightSum), WANDER));
  }

  private static long countedWindows(Placement placement) {
    return placement.windows().stream().filter(Placement.Window::counted).count();
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
