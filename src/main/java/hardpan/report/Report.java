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
 * @param lanes every lane written; empty if none was
 */
public record Report(
    String format,
    int formatVersion,
    String madeBy,
    OffsetDateTime madeAt,
    @Nullable String reference,
    List<SourceReport> sources,
    List<LaneReport> lanes) {
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
  }

  /** A report of this format and version. */
  public static Report of(
      String madeBy,
      OffsetDateTime madeAt,
      @Nullable String reference,
      List<SourceReport> sources,
      List<LaneReport> lanes) {
    return new Report(FORMAT, FORMAT_VERSION, madeBy, madeAt, reference, sources, lanes);
  }

  /** The source with this path. */
  public Optional<SourceReport> source(String path) {
    return sources.stream().filter(source -> source.path().equals(path)).findFirst();
  }
}
