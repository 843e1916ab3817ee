package hardpan.report;

import hardpan.base.SourceClock;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The report's placements and findings as tables for spreadsheets: comma-separated, CR LF at the
 * end of each line, quoted where needed (RFC 4180), to be written as UTF-8. The first line names
 * the columns. Unknown is empty.
 */
public final class Tables {
  private static final List<String> PLACEMENT_COLUMNS =
      List.of(
          "path",
          "kind",
          "device",
          "run",
          "state",
          "offsetSeconds",
          "driftPpm",
          "inverted",
          "confidence",
          "residualMs",
          "overlapSeconds",
          "durationSeconds",
          "sampleRateHz",
          "frameCount",
          "startTimecode",
          "lanes",
          "clockCorrected",
          "says");

  private static final List<String> FINDING_COLUMNS =
      List.of(
          "path",
          "channel",
          "channelName",
          "code",
          "severity",
          "startSeconds",
          "endSeconds",
          "referenceStartSeconds",
          "referenceEndSeconds",
          "says",
          "remedy");

  private Tables() {}

  /**
   * One line a source, the unreadable ones too.
   *
   * @param originals the original files by their path in the report, for their time codes
   */
  public static String placements(Report report, Map<String, Original> originals) {
    StringBuilder table = new StringBuilder();
    line(table, PLACEMENT_COLUMNS);
    for (SourceReport source : report.sources()) {
      PlacementReport placement = source.placement();
      Original original = originals.get(source.path());
      List<LaneReport> lanes =
          report.lanes().stream()
              .filter(lane -> LaneFindings.parts(report, lane).contains(source))
              .toList();
      List<@Nullable Object> cells = new ArrayList<>();
      cells.add(source.path());
      cells.add(source.kind().word());
      cells.add(source.device());
      cells.add(source.run());
      cells.add(Standing.of(report, source).label());
      cells.add(placement == null ? null : placement.offsetSeconds());
      cells.add(placement == null ? null : placement.driftPpm());
      cells.add(placement == null ? null : placement.inverted());
      cells.add(placement == null ? null : placement.confidence());
      cells.add(placement == null ? null : placement.residualMs());
      cells.add(placement == null ? null : placement.overlapSeconds());
      cells.add(source.durationSeconds());
      cells.add(source.sampleRateHz());
      cells.add(source.frameCount());
      cells.add(original == null ? null : original.startTimecode());
      cells.add(String.join(" ", lanes.stream().map(LaneReport::file).distinct().toList()));
      cells.add(lanes.isEmpty() ? null : lanes.stream().anyMatch(LaneReport::clockCorrected));
      cells.add(says(source));
      line(table, cells);
    }
    return table.toString();
  }

  private static @Nullable String says(SourceReport source) {
    ErrorReport error = source.error();
    PlacementReport placement = source.placement();
    return error != null
        ? Sentences.errorSentence(error)
        : placement == null ? null : Sentences.placementSentence(placement);
  }

  /** One line for each stretch of each finding; one for a finding of a whole channel. */
  public static String findings(Report report) {
    StringBuilder table = new StringBuilder();
    line(table, FINDING_COLUMNS);
    for (SourceReport source : report.sources()) {
      for (ChannelReport channel : source.channels()) {
        for (FindingReport finding : channel.findings()) {
          if (finding.spans().isEmpty()) {
            line(table, cells(report, source, channel, finding, null));
          }
          for (SpanReport span : finding.spans()) {
            line(table, cells(report, source, channel, finding, span));
          }
        }
      }
    }
    return table.toString();
  }

  private static List<@Nullable Object> cells(
      Report report,
      SourceReport source,
      ChannelReport channel,
      FindingReport finding,
      @Nullable SpanReport span) {
    List<@Nullable Object> cells = new ArrayList<>();
    cells.add(source.path());
    cells.add(channel.index() + 1);
    cells.add(channel.name());
    cells.add(finding.code());
    cells.add(finding.severity().word());
    cells.add(span == null ? null : span.startSeconds());
    cells.add(span == null ? null : span.endSeconds());
    cells.add(span == null ? null : onReference(report, source, span.startSeconds()));
    cells.add(span == null ? null : onReference(report, source, span.endSeconds()));
    cells.add(finding.says());
    cells.add(finding.remedy());
    return cells;
  }

  private static @Nullable Double onReference(Report report, SourceReport source, double seconds) {
    if (source.path().equals(report.reference())) {
      return seconds;
    }
    PlacementReport placement = source.placement();
    if (placement == null || placement.state() != PlacementReport.State.PLACED) {
      return null;
    }
    SourceClock clock = placement.clock();
    return clock == null ? null : Numbers.orNull(clock.referenceSeconds(seconds), Numbers.SECOND);
  }

  private static void line(StringBuilder table, List<? extends @Nullable Object> cells) {
    for (int i = 0; i < cells.size(); i++) {
      table.append(i == 0 ? "" : ",").append(cell(cells.get(i)));
    }
    table.append("\r\n");
  }

  private static String cell(@Nullable Object value) {
    if (value == null) {
      return "";
    }
    if (value instanceof Double number) {
      return BigDecimal.valueOf(number).stripTrailingZeros().toPlainString();
    }
    if (!(value instanceof String text)) {
      return value.toString();
    }
    return quoted(harmless(text));
  }

  /**
   * A spreadsheet would take a text that begins like a formula for one and run it; an apostrophe
   * before it stops that (common practice, no source).
   */
  private static String harmless(String text) {
    return !text.isEmpty() && "=+-@\t\r".indexOf(text.charAt(0)) >= 0 ? "'" + text : text;
  }

  private static String quoted(String text) {
    boolean needed = text.chars().anyMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
    return needed ? '"' + text.replace("\"", "\"\"") + '"' : text;
  }
}
