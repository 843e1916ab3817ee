package hardpan.report;

import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Everything Hardpan has to say about a shoot; what {@code report.json} holds.
 *
 * @param format always {@value #FORMAT}
 * @param formatVersion always {@value #FORMAT_VERSION}
 * @param madeBy program and version
 * @param madeAt when, kept to the second
 * @param reference path of the source whose clock everything is lined up to, or null
 * @param sources every source, the unreadable ones too
 * @param devices the devices the sources come from, in the order of their first sources
 * @param lanes every lane written; empty if none was
 * @param leftOut what was seen and not taken, with reasons
 */
public record Report(
    String format,
    int formatVersion,
    String madeBy,
    OffsetDateTime madeAt,
    @Nullable String reference,
    List<SourceReport> sources,
    List<DeviceReport> devices,
    List<LaneReport> lanes,
    List<LeftOutReport> leftOut) {
  /** The contract's name. */
  public static final String FORMAT = "hardpan-report";

  /** The contract's version. */
  public static final int FORMAT_VERSION = 1;

  /** Checks and copies. */
  public Report {
    if (!FORMAT.equals(format) || formatVersion != FORMAT_VERSION) {
      throw new IllegalArgumentException("not " + FORMAT + " " + FORMAT_VERSION);
    }
    Objects.requireNonNull(madeBy, "madeBy");
    madeAt = madeAt.truncatedTo(ChronoUnit.SECONDS);
    sources = List.copyOf(sources);
    lanes = List.copyOf(lanes);
    // Reports of earlier releases lack these.
    devices = devices == null ? List.of() : List.copyOf(devices);
    leftOut = leftOut == null ? List.of() : List.copyOf(leftOut);
  }

  /** A report of this format and version. */
  public static Report of(
      String madeBy,
      OffsetDateTime madeAt,
      @Nullable String reference,
      List<SourceReport> sources,
      List<LaneReport> lanes) {
    return of(madeBy, madeAt, reference, sources, List.of(), lanes, List.of());
  }

  /** A report of this format and version that names devices and what was left out. */
  public static Report of(
      String madeBy,
      OffsetDateTime madeAt,
      @Nullable String reference,
      List<SourceReport> sources,
      List<DeviceReport> devices,
      List<LaneReport> lanes,
      List<LeftOutReport> leftOut) {
    return new Report(
        FORMAT, FORMAT_VERSION, madeBy, madeAt, reference, sources, devices, lanes, leftOut);
  }

  /** The source with this path. */
  public Optional<SourceReport> source(String path) {
    return sources.stream().filter(source -> source.path().equals(path)).findFirst();
  }

  /** How many mono tracks were written: channels of files. */
  public int trackCount() {
    return (int)
        lanes.stream().map(lane -> lane.file() + "|" + lane.fileChannel()).distinct().count();
  }
}
