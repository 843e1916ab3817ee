package hardpan.shoot;

import java.util.Map;
import java.util.Set;

/**
 * What a person asked for when the sources were found, and what was made of it.
 *
 * @param rules which source comes from which device
 * @param namedPaths paths of the sources that were named themselves and are always taken
 * @param deviceReasons by device: one sentence why its sources are taken to come from it
 */
public record Intake(DeviceRules rules, Set<String> namedPaths, Map<String, String> deviceReasons) {
  /** Nothing was asked for. */
  public static final Intake NONE = new Intake(DeviceRules.NONE, Set.of(), Map.of());

  /** Copies the collections. */
  public Intake {
    namedPaths = Set.copyOf(namedPaths);
    deviceReasons = Map.copyOf(deviceReasons);
  }
}
