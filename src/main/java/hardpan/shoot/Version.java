package hardpan.shoot;

import org.jspecify.annotations.Nullable;

/** What this program calls itself. */
public final class Version {
  private Version() {}

  /** Version of the jar, or {@code development} when run from classes. */
  public static String number() {
    @Nullable String version = Version.class.getPackage().getImplementationVersion();
    return version == null ? "development" : version;
  }

  /** Name and version. */
  public static String madeBy() {
    return "Hardpan " + number();
  }
}
