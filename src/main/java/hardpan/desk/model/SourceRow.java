package hardpan.desk.model;

import hardpan.report.FindingReport.Severity;
import hardpan.report.FirstLooks;
import hardpan.report.PairReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.report.Standing;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One source in the list.
 *
 * @param number its number in list and picture, from 1
 * @param path its path in the report
 * @param device the device it is taken to come from
 * @param standing how it came out
 * @param byHand whether its place was given by a person
 * @param placeWords the same in plain words, with its place
 * @param pairWords how left and right relate, or the number of channels; may be empty
 * @param faults number of kinds of damage, each counted once for all channels, the pair's included
 * @param warnings number of other things to look at, a place that is missing or doubtful included
 */
public record SourceRow(
    int number,
    String path,
    String device,
    Standing standing,
    boolean byHand,
    String placeWords,
    String pairWords,
    int faults,
    int warnings) {

  /** From the report. */
  static SourceRow of(int number, Report report, SourceReport source, boolean byHand) {
    Standing standing = Standing.of(report, source);
    List<FirstLooks.Look> looks = FirstLooks.of(source);
    String device = source.device();
    return new SourceRow(
        number,
        source.path(),
        device == null ? "" : device,
        standing,
        byHand,
        placeWords(standing, byHand, source.placement()),
        pairWords(source),
        count(looks, Severity.FAULT),
        count(looks, Severity.WARNING));
  }

  private static int count(List<FirstLooks.Look> looks, Severity severity) {
    return (int) looks.stream().filter(look -> look.severity() == severity).count();
  }

  private static String placeWords(
      Standing standing, boolean byHand, @Nullable PlacementReport placement) {
    Double offset = placement == null ? null : placement.offsetSeconds();
    return standing == Standing.PLACED && offset != null
        ? Texts.of(byHand ? "row.put-at" : "row.placed-at", Times.clock(offset, 3))
        : standing.label();
  }

  private static String pairWords(SourceReport source) {
    PairReport pair = source.pair();
    if (pair != null) {
      return Texts.of("pair." + pair.verdict().word());
    }
    Integer channels = source.channelCount();
    return channels == null ? "" : Texts.count("row.channels", channels);
  }

  /** How much a pair verdict matters; null if it is as it should be. */
  static @Nullable Severity severity(@Nullable PairReport pair) {
    if (pair == null) {
      return null;
    }
    return switch (pair.verdict()) {
      case INVERTED, BOTH_SILENT -> Severity.FAULT;
      case ONE_SILENT -> Severity.WARNING;
      case ISOLATED, SAME_SIGNAL, LOWER_COPY, STEREO, UNKNOWN -> null;
    };
  }

  /** How it came by its place, as a shape. */
  public Mark mark() {
    return byHand && standing == Standing.PLACED ? Mark.BY_HAND : Mark.of(standing);
  }

  /** Its file name alone. */
  public String fileName() {
    return path.substring(path.lastIndexOf('/') + 1);
  }

  /** {@code 2 faults, 1 warning}; empty if there is nothing. */
  public String findingWords() {
    List<String> words = new ArrayList<>();
    if (faults > 0) {
      words.add(Texts.count("row.faults", faults));
    }
    if (warnings > 0) {
      words.add(Texts.count("row.warnings", warnings));
    }
    return String.join(", ", words);
  }

  /** The worst of its findings as a shape; null if there is nothing. */
  public @Nullable Mark findingMark() {
    return faults > 0 ? Mark.FAULT : warnings > 0 ? Mark.WARNING : null;
  }

  /** Everything about it as one sentence, for those who listen to the window. */
  public String spoken() {
    List<String> parts = new ArrayList<>();
    parts.add(Texts.of("row.spoken", number, path));
    parts.add(device);
    parts.add(placeWords);
    parts.add(pairWords);
    parts.add(findingWords());
    parts.removeIf(String::isEmpty);
    return String.join(", ", parts) + ".";
  }
}
