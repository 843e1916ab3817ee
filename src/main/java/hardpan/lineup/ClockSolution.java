package hardpan.lineup;

import hardpan.lineup.Bond.Clock;
import hardpan.signal.LeastSquares;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Lays all sources on the reference at once: weighted least squares over every match, with one
 * clock ratio a device that its sources keep to within what a clock wanders. Matches that stay far
 * off lose weight (Huber's weights, P. Huber, Ann. Math. Stat. 35, 1964).
 *
 * <p>Sources that contradict each other do not share a clock, whatever their folders say; each then
 * keeps its own.
 */
final class ClockSolution {
  /** How far the clock of one device is trusted to wander between its sources. */
  private static final double WANDER_PPM = 0.7;

  private static final double CONTRADICTION = 3;
  private static final double CLOCK_DEVIATION_PPM = 100;

  /** Two that stand in a room hear by different ways; a match with the reference goes first. */
  private static final double ROOM_DEVIATION_SECONDS = 1e-3;

  private static final double PIN_DEVIATION_SECONDS = 1e-7;
  private static final double HUBER = 2.5;
  private static final int ROUNDS = 6;
  private static final double PPM = 1e-6;

  private final String referenceId;
  private final Map<String, String> deviceOf;
  private final Map<String, Double> pins;
  private final Map<String, Clock> first;
  private final List<Bond> bonds;
  private final List<Bond> slopesOnly;
  private final Map<String, Integer> columns = new LinkedHashMap<>();
  private final Map<String, Integer> deviceColumns = new HashMap<>();
  private final Map<String, Double> pivots = new HashMap<>();

  /**
   * A task.
   *
   * @param deviceOf device by source id
   * @param pins given offsets by source id
   * @param first lines of all sources that are to be laid, good to a fraction of a second
   * @param bonds matches that agree
   * @param slopesOnly matches with the reference of which only the clock is to be used
   */
  ClockSolution(
      String referenceId,
      Map<String, String> deviceOf,
      Map<String, Double> pins,
      Map<String, Clock> first,
      List<Bond> bonds,
      List<Bond> slopesOnly) {
    this.referenceId = referenceId;
    this.deviceOf = deviceOf;
    this.pins = pins;
    this.first = first;
    this.bonds = bonds;
    this.slopesOnly = slopesOnly;
    for (String id : first.keySet()) {
      if (!id.equals(referenceId)) {
        columns.put(id, 2 * columns.size());
      }
    }
    for (Bond bond : bonds) {
      pivots.putIfAbsent(bond.source(), bond.centreSeconds());
      pivots.putIfAbsent(bond.host(), bond.hostSeconds());
    }
  }

  /** The lines; every source of {@code first} has one. */
  Map<String, Clock> solve() {
    LeastSquares alone = solved(Map.of());
    Map<String, Double> shared = new HashMap<>();
    Map<String, List<String>> families = new HashMap<>();
    columns
        .keySet()
        .forEach(id -> families.computeIfAbsent(device(id), d -> new ArrayList<>()).add(id));
    for (Map.Entry<String, List<String>> family : families.entrySet()) {
      boolean ofReference = family.getKey().equals(device(referenceId));
      if ((family.getValue().size() > 1 || ofReference)
          && agrees(alone, family.getValue(), ofReference)) {
        family.getValue().forEach(id -> shared.put(id, ofReference ? 0.0 : Double.NaN));
      }
    }
    LeastSquares together = shared.isEmpty() ? alone : solved(shared);
    Map<String, Clock> clocks = new LinkedHashMap<>();
    clocks.put(referenceId, Clock.REFERENCE);
    for (Map.Entry<String, Integer> entry : columns.entrySet()) {
      Clock start = first(entry.getKey());
      double pivot = pivot(entry.getKey());
      double middle = start.at(pivot) + together.value(entry.getValue());
      double scale = start.scale() + PPM * together.value(entry.getValue() + 1);
      Double pin = pins.get(entry.getKey());
      clocks.put(entry.getKey(), new Clock(pin == null ? middle - scale * pivot : pin, scale));
    }
    return clocks;
  }

  private String device(String id) {
    return deviceOf.getOrDefault(id, id);
  }

  private Clock first(String id) {
    return first.getOrDefault(id, Clock.REFERENCE);
  }

  private double pivot(String id) {
    return pivots.getOrDefault(id, 0.0);
  }

  /** Whether the sources of a device run at one speed as far as each can tell by itself. */
  private boolean agrees(LeastSquares alone, List<String> family, boolean ofReference) {
    double weights = ofReference ? 1 / (WANDER_PPM * WANDER_PPM) : 0;
    double sum = 0;
    for (String id : family) {
      double deviation = deviationPpm(alone, id);
      weights += 1 / (deviation * deviation);
      sum += driftPpm(alone, id) / (deviation * deviation);
    }
    double mean = sum / weights;
    for (String id : family) {
      if (Math.abs(driftPpm(alone, id) - mean) > CONTRADICTION * deviationPpm(alone, id)) {
        return false;
      }
    }
    return true;
  }

  private double driftPpm(LeastSquares solution, String id) {
    return first(id).driftPpm() + solution.value(columns.getOrDefault(id, 0) + 1);
  }

  private double deviationPpm(LeastSquares solution, String id) {
    return Math.hypot(solution.deviation(columns.getOrDefault(id, 0) + 1), WANDER_PPM);
  }

  /**
   * Solves.
   *
   * @param shared sources that keep to their device's clock; NaN if that is unknown, else its ppm
   */
  private LeastSquares solved(Map<String, Double> shared) {
    deviceColumns.clear();
    for (Map.Entry<String, Double> entry : shared.entrySet()) {
      if (entry.getValue().isNaN()) {
        deviceColumns.computeIfAbsent(
            device(entry.getKey()), d -> 2 * columns.size() + deviceColumns.size());
      }
    }
    double[] weights = new double[bonds.size()];
    Arrays.fill(weights, 1);
    LeastSquares solution = new LeastSquares(2 * columns.size() + deviceColumns.size());
    for (int round = 0; round < ROUNDS; round++) {
      solution = new LeastSquares(2 * columns.size() + deviceColumns.size());
      addClocks(solution, shared);
      for (int i = 0; i < bonds.size(); i++) {
        addBond(solution, bonds.get(i), weights[i]);
      }
      for (Bond bond : slopesOnly) {
        addSlope(solution, bond, 1);
      }
      solution.solve();
      boolean settled = true;
      for (int i = 0; i < bonds.size(); i++) {
        Bond bond = bonds.get(i);
        double off =
            Math.max(
                Math.abs(miss(solution, bond)) / deviation(bond),
                Math.abs(slopeMiss(solution, bond)) / bond.driftDeviation());
        double weight = off <= HUBER ? 1 : HUBER / off;
        settled &= Math.abs(weight - weights[i]) < 1e-3;
        weights[i] = weight;
      }
      if (settled) {
        break;
      }
    }
    return solution;
  }

  private void addClocks(LeastSquares to, Map<String, Double> shared) {
    for (Map.Entry<String, Integer> entry : columns.entrySet()) {
      String id = entry.getKey();
      int column = entry.getValue();
      double drift = first(id).driftPpm();
      to.add(new int[] {column + 1}, new double[] {1}, -drift, CLOCK_DEVIATION_PPM);
      Double device = shared.get(id);
      if (device != null && !device.isNaN()) {
        to.add(new int[] {column + 1}, new double[] {1}, device - drift, WANDER_PPM);
      } else if (device != null) {
        int deviceColumn = deviceColumns.getOrDefault(device(id), 0);
        to.add(new int[] {column + 1, deviceColumn}, new double[] {1, -1}, -drift, WANDER_PPM);
      }
      Double pin = pins.get(id);
      if (pin != null) {
        to.add(
            new int[] {column, column + 1},
            new double[] {1, -PPM * pivot(id)},
            pin - first(id).offsetSeconds(),
            PIN_DEVIATION_SECONDS);
      }
    }
    for (int column : deviceColumns.values()) {
      to.add(new int[] {column}, new double[] {1}, 0, CLOCK_DEVIATION_PPM);
    }
  }

  private void addBond(LeastSquares to, Bond bond, double weight) {
    Clock source = first(bond.source());
    Clock host = first(bond.host());
    List<Integer> at = new ArrayList<>();
    List<Double> factors = new ArrayList<>();
    Integer sourceColumn = columns.get(bond.source());
    if (sourceColumn != null) {
      at.add(sourceColumn);
      factors.add(1.0);
      at.add(sourceColumn + 1);
      factors.add(PPM * (bond.centreSeconds() - pivot(bond.source())));
    }
    Integer hostColumn = columns.get(bond.host());
    if (hostColumn != null) {
      at.add(hostColumn);
      factors.add(-1.0);
      at.add(hostColumn + 1);
      factors.add(-PPM * (bond.hostSeconds() - pivot(bond.host())));
    }
    to.add(
        at.stream().mapToInt(Integer::intValue).toArray(),
        factors.stream().mapToDouble(Double::doubleValue).toArray(),
        -bond.mismatch(source, host),
        deviation(bond) / Math.sqrt(weight));
    addSlope(to, bond, weight);
  }

  private void addSlope(LeastSquares to, Bond bond, double weight) {
    List<Integer> at = new ArrayList<>();
    List<Double> factors = new ArrayList<>();
    double ratio = 1 + bond.drift();
    Integer sourceColumn = columns.get(bond.source());
    if (sourceColumn != null) {
      at.add(sourceColumn + 1);
      factors.add(1.0);
    }
    Integer hostColumn = columns.get(bond.host());
    if (hostColumn != null) {
      at.add(hostColumn + 1);
      factors.add(-ratio);
    }
    double known = ratio * first(bond.host()).scale() - first(bond.source()).scale();
    to.add(
        at.stream().mapToInt(Integer::intValue).toArray(),
        factors.stream().mapToDouble(Double::doubleValue).toArray(),
        known / PPM,
        bond.driftDeviation() / Math.sqrt(weight) / PPM);
  }

  private double deviation(Bond bond) {
    return bond.joins(referenceId)
        ? bond.deviationSeconds()
        : Math.hypot(bond.deviationSeconds(), ROOM_DEVIATION_SECONDS);
  }

  private double miss(LeastSquares solution, Bond bond) {
    return moved(solution, bond.source(), bond.centreSeconds())
        - moved(solution, bond.host(), bond.hostSeconds());
  }

  private double slopeMiss(LeastSquares solution, Bond bond) {
    return scale(solution, bond.source()) - (1 + bond.drift()) * scale(solution, bond.host());
  }

  private double scale(LeastSquares solution, String id) {
    Integer column = columns.get(id);
    return first(id).scale() + (column == null ? 0 : PPM * solution.value(column + 1));
  }

  /** Where the solution lays a moment of a source on the reference. */
  private double moved(LeastSquares solution, String id, double seconds) {
    Integer column = columns.get(id);
    double start = first(id).at(seconds);
    return column == null
        ? start
        : start + solution.value(column) + PPM * solution.value(column + 1) * (seconds - pivot(id));
  }
}
