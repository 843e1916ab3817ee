package hardpan.shoot;

import java.time.Instant;

/**
 * What can be told only when every source has been read: smaller twins are left out, start times
 * are compared with the files' names and times, sources are grouped by device.
 */
final class Refinement {
  private Refinement() {}

  /** The shoot as it is to be worked on; sources keep their order. */
  static Shoot of(Shoot read) {
    Shoot without = Proxies.leaveOut(read);
    return DeviceGroups.assign(
        without.withSources(StartTimes.of(without.sources(), Instant.now())));
  }
}
