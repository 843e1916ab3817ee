package hardpan.report;

import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * A camera, phone or recorder.
 *
 * @param name what its sources call it
 * @param sources their paths
 * @param make the maker, if the files say so
 * @param model the device's kind, if the files say so
 * @param serial its number, if the files say so
 * @param why one sentence: why these sources are taken to come from one device
 * @param clockOffsetSeconds how far its clock is ahead of the reference's at the same moment,
 *     negative if behind; null if one of them is not known, and for the reference's own device
 * @param says the same in a sentence; empty if there is nothing to say
 */
public record DeviceReport(
    String name,
    List<String> sources,
    @Nullable String make,
    @Nullable String model,
    @Nullable String serial,
    String why,
    @Nullable Double clockOffsetSeconds,
    String says) {
  /** Checks, rounds and copies. */
  public DeviceReport {
    Numbers.notEmpty(name, "a device's name");
    Objects.requireNonNull(why, "why");
    Objects.requireNonNull(says, "says");
    sources = List.copyOf(sources);
    clockOffsetSeconds = Numbers.orNull(clockOffsetSeconds, Numbers.SECOND);
  }
}
