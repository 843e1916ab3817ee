package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.ErrorReport;
import hardpan.report.FindingReport;
import hardpan.report.FindingReport.Severity;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.Sentences;
import hardpan.report.SourceReport;
import hardpan.report.SpanReport;
import hardpan.report.Standing;
import hardpan.shoot.Overview;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The shoot on one clock: a band a device, every clip in its place on the reference's time, and
 * those without a place by themselves with the reason.
 *
 * @param firstSecond earliest moment that must be seen, at most 0
 * @param lastSecond latest moment, more than {@code firstSecond}
 * @param bands one a device, that of the reference first
 * @param astray sources without a place
 */
public record ClockModel(
    double firstSecond, double lastSecond, List<Band> bands, List<ClockItem> astray) {
  private static final double SHORTEST_SECONDS = 1;

  /** Copies. */
  public ClockModel {
    bands = List.copyOf(bands);
    astray = List.copyOf(astray);
  }

  /**
   * One device's clips.
   *
   * @param device its name
   * @param rows clips that do not overlap share a row
   */
  public record Band(String device, List<List<ClockItem>> rows) {
    /** Copies. */
    public Band {
      rows = rows.stream().map(List::copyOf).toList();
    }
  }

  /**
   * From the report and the waveforms.
   *
   * @param rows the sources in the report's order
   * @param overviews waveform by path
   */
  static ClockModel of(Report report, List<SourceRow> rows, Map<String, Overview> overviews) {
    List<ClockItem> placed = new ArrayList<>();
    List<ClockItem> astray = new ArrayList<>();
    double first = 0;
    double last = SHORTEST_SECONDS;
    for (int i = 0; i < rows.size(); i++) {
      SourceReport source = report.sources().get(i);
      ClockItem item = item(rows.get(i), source, overviews.get(source.path()));
      if (!item.reason().isEmpty()) {
        astray.add(item);
        continue;
      }
      first = Math.min(first, item.startSeconds());
      last = Math.max(last, item.endSeconds());
      if (item.row().standing() == Standing.REFERENCE) {
        placed.add(0, item);
      } else {
        placed.add(item);
      }
    }
    Map<String, List<List<ClockItem>>> devices = new LinkedHashMap<>();
    for (ClockItem item : placed) {
      put(devices.computeIfAbsent(item.row().device(), name -> new ArrayList<>()), item);
    }
    List<Band> bands = new ArrayList<>();
    devices.forEach((device, itemRows) -> bands.add(new Band(device, itemRows)));
    return new ClockModel(first, last, bands, astray);
  }

  /** Into the first row that is free by then. */
  private static void put(List<List<ClockItem>> rows, ClockItem item) {
    for (List<ClockItem> row : rows) {
      boolean free =
          row.stream()
              .allMatch(
                  other ->
                      other.endSeconds() <= item.startSeconds()
                          || item.endSeconds() <= other.startSeconds());
      if (free) {
        row.add(item);
        row.sort((a, b) -> Double.compare(a.startSeconds(), b.startSeconds()));
        return;
      }
    }
    rows.add(new ArrayList<>(List.of(item)));
  }

  private static ClockItem item(SourceRow row, SourceReport source, @Nullable Overview overview) {
    double seconds = source.durationSeconds() == null ? 0 : source.durationSeconds();
    PlacementReport placement = source.placement();
    double start = 0;
    double stretch = 1;
    String reason = "";
    if (row.standing() != Standing.REFERENCE) {
      if (placement != null && placement.offsetSeconds() != null) {
        start = placement.offsetSeconds();
        stretch = placement.driftPpm() == null ? 1 : 1 + placement.driftPpm() * 1e-6;
      } else {
        reason = reason(source, placement);
      }
    }
    return new ClockItem(
        row,
        start,
        start + seconds * stretch,
        source.channels().size(),
        overview,
        flags(source, start, stretch),
        reason);
  }

  private static String reason(SourceReport source, @Nullable PlacementReport placement) {
    ErrorReport error = source.error();
    if (error != null) {
      return Sentences.errorSentence(error);
    }
    return placement == null || placement.why().isBlank()
        ? Texts.of("clock.not-lined-up")
        : placement.why();
  }

  private static List<Flag> flags(SourceReport source, double start, double stretch) {
    List<Flag> flags = new ArrayList<>();
    Severity pair = SourceRow.severity(source.pair());
    if (pair != null && source.pair() != null) {
      String words = Texts.of("pair." + source.pair().verdict().word());
      flags.add(new Flag(-1, pair, words, List.of()));
    }
    for (ChannelReport channel : source.channels()) {
      for (FindingReport finding : channel.findings()) {
        flags.add(
            new Flag(
                channel.index(),
                finding.severity(),
                FindingWords.of(finding.code()),
                stretches(finding.spans(), start, stretch)));
      }
      if (channel.clipping().clipped()) {
        flags.add(
            new Flag(
                channel.index(),
                Severity.FAULT,
                Texts.of("finding.clipping"),
                stretches(channel.clipping().spans(), start, stretch)));
      }
    }
    return flags;
  }

  private static List<Flag.Stretch> stretches(
      List<SpanReport> spans, double start, double stretch) {
    return spans.stream()
        .map(
            span ->
                new Flag.Stretch(
                    start + span.startSeconds() * stretch, start + span.endSeconds() * stretch))
        .toList();
  }

  /** All items, those with a place first, band by band. */
  public List<ClockItem> items() {
    List<ClockItem> items = new ArrayList<>();
    bands.forEach(band -> band.rows().forEach(items::addAll));
    items.addAll(astray);
    return items;
  }

  /** What the picture says of a source, for those who listen to the window. */
  public String spoken(@Nullable SourceRow row) {
    for (ClockItem item : items()) {
      if (item.row().equals(row)) {
        String flagged = item.flags().isEmpty() ? Texts.of("clock.no-findings") : item.flagWords();
        return item.reason().isEmpty()
            ? Texts.of(
                "clock.spoken.placed",
                item.row().number(),
                item.row().fileName(),
                item.row().device(),
                Times.clock(item.startSeconds(), 1),
                Times.clock(item.endSeconds(), 1),
                flagged)
            : Texts.of(
                "clock.spoken.astray",
                item.row().number(),
                item.row().fileName(),
                item.reason(),
                flagged);
      }
    }
    return Texts.of("clock.spoken.none", bands.size(), items().size(), astray.size());
  }
}
