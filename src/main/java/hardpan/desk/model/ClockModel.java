package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.ErrorReport;
import hardpan.report.FindingReport;
import hardpan.report.FindingReport.Severity;
import hardpan.report.MinusSigns;
import hardpan.report.OverloadReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.Sentences;
import hardpan.report.SourceReport;
import hardpan.report.SpanReport;
import hardpan.report.Standing;
import hardpan.shoot.Analysis;
import hardpan.shoot.PictureCount;
import hardpan.shoot.Run;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * The shoot on one clock: a band a device, every run in its place on the reference's time, and in a
 * tray by themselves those without one place, with the reason. Does not change.
 */
public final class ClockModel {
  private static final double SHORTEST_SECONDS = 1;

  private final double firstSecond;
  private final double lastSecond;
  private final List<Band> bands;
  private final List<ClockItem> tray;
  private final List<ClockItem> items;
  private final @Nullable DayClock dayClock;

  /**
   * A picture.
   *
   * @param firstSecond earliest moment that must be seen, at most 0
   * @param lastSecond latest moment, more than {@code firstSecond}
   * @param bands one a device, that of the reference first
   * @param tray sources that have no place, or more than one
   * @param dayClock the time of day; null where it is not known
   */
  public ClockModel(
      double firstSecond,
      double lastSecond,
      List<Band> bands,
      List<ClockItem> tray,
      @Nullable DayClock dayClock) {
    this.firstSecond = firstSecond;
    this.lastSecond = lastSecond;
    this.bands = List.copyOf(bands);
    this.tray = List.copyOf(tray);
    List<ClockItem> all = new ArrayList<>();
    for (Band band : bands) {
      for (List<ClockRun> row : band.rows()) {
        row.forEach(run -> all.addAll(run.items()));
      }
    }
    all.addAll(tray);
    this.items = List.copyOf(all);
    this.dayClock = dayClock;
  }

  /** Earliest moment that must be seen, at most 0. */
  public double firstSecond() {
    return firstSecond;
  }

  /** Latest moment, more than the first. */
  public double lastSecond() {
    return lastSecond;
  }

  /** The time of day; empty where it is not known. */
  public Optional<DayClock> dayClock() {
    return Optional.ofNullable(dayClock);
  }

  /** One a device, that of the reference first. */
  public List<Band> bands() {
    return bands;
  }

  /** Sources that have no place, or more than one. */
  public List<ClockItem> tray() {
    return tray;
  }

  /**
   * One device's runs.
   *
   * @param device its name
   * @param rows runs that do not overlap share a row
   */
  public record Band(String device, List<List<ClockRun>> rows) {
    /** Copies. */
    public Band {
      rows = rows.stream().map(List::copyOf).toList();
    }

    /** How much it holds, in words. */
    public String summary() {
      int runs = rows.stream().mapToInt(List::size).sum();
      int faults =
          rows.stream()
              .flatMap(List::stream)
              .flatMap(run -> run.items().stream())
              .mapToInt(item -> item.row().faults())
              .sum();
      int files = rows.stream().flatMap(List::stream).mapToInt(run -> run.items().size()).sum();
      String words = Texts.count("clock.band.files", files);
      if (files > runs) {
        words += ", " + Texts.count("clock.band.recordings", runs);
      }
      return faults == 0 ? words : words + ", " + Texts.count("row.faults", faults);
    }
  }

  /**
   * A finding and where it is.
   *
   * @param item its source
   * @param flag what
   * @param seconds where it begins on the reference's clock
   */
  public record FlagPlace(ClockItem item, Flag flag, double seconds) {}

  /**
   * From a shoot and its report.
   *
   * @param rows the sources in the report's order
   */
  static ClockModel of(Report report, List<SourceRow> rows, Shoot shoot) {
    Map<String, ShootSource> sources = new HashMap<>();
    shoot.sources().forEach(source -> sources.put(source.path(), source));
    Map<String, ClockItem> placed = new LinkedHashMap<>();
    List<ClockItem> tray = new ArrayList<>();
    double first = 0;
    double last = SHORTEST_SECONDS;
    for (int i = 0; i < rows.size(); i++) {
      SourceReport source = report.sources().get(i);
      ClockItem item = item(rows.get(i), source, sources.get(source.path()));
      if (!item.reason().isEmpty()) {
        tray.add(item);
        continue;
      }
      first = Math.min(first, item.startSeconds());
      last = Math.max(last, item.endSeconds());
      placed.put(source.path(), item);
    }
    List<ClockRun> runs = runs(placed, shoot.runs());
    runs.sort(Comparator.comparing(run -> !run.isReference()));
    Map<String, List<List<ClockRun>>> devices = new LinkedHashMap<>();
    for (ClockRun run : runs) {
      String device = run.items().get(0).row().device();
      put(devices.computeIfAbsent(device, name -> new ArrayList<>()), run);
    }
    List<Band> bands = new ArrayList<>();
    devices.forEach((device, itemRows) -> bands.add(new Band(device, itemRows)));
    return new ClockModel(first, last, bands, tray, DayClock.of(report).orElse(null));
  }

  private static List<ClockRun> runs(Map<String, ClockItem> placed, List<Run> joined) {
    Map<String, Run> runOf = new HashMap<>();
    for (Run run : joined) {
      if (run.isJoined()) {
        run.paths().forEach(path -> runOf.put(path, run));
      }
    }
    List<ClockRun> runs = new ArrayList<>();
    Map<String, ClockItem> left = new LinkedHashMap<>(placed);
    for (String path : placed.keySet()) {
      ClockItem item = left.get(path);
      if (item == null) {
        continue;
      }
      Run run = runOf.get(path);
      runs.add(new ClockRun(run == null ? List.of(item) : parts(run, left)));
      left.remove(path);
    }
    return runs;
  }

  /** The sources of a run, taken out of those that are left. */
  private static List<ClockItem> parts(Run run, Map<String, ClockItem> left) {
    List<ClockItem> parts = new ArrayList<>();
    for (Run.Part part : run.parts()) {
      int strip = 0;
      for (String path : part.paths()) {
        ClockItem item = left.remove(path);
        if (item != null) {
          parts.add(item.atStrip(strip));
          strip += item.channelCount();
        }
      }
    }
    return parts;
  }

  /** Into the first row that is free by then. */
  private static void put(List<List<ClockRun>> rows, ClockRun run) {
    for (List<ClockRun> row : rows) {
      boolean free =
          row.stream()
              .allMatch(
                  other ->
                      other.endSeconds() <= run.startSeconds()
                          || run.endSeconds() <= other.startSeconds());
      if (free) {
        row.add(run);
        row.sort(Comparator.comparingDouble(ClockRun::startSeconds));
        return;
      }
    }
    rows.add(new ArrayList<>(List.of(run)));
  }

  private static ClockItem item(SourceRow row, SourceReport source, @Nullable ShootSource heard) {
    Analysis analysis = heard == null ? null : heard.analysis();
    Long frames = source.frameCount();
    Integer rate = source.sampleRateHz();
    PlacementReport placement = source.placement();
    double start = 0;
    double stretch = 1;
    String reason = "";
    if (row.standing() != Standing.REFERENCE) {
      if (row.standing() == Standing.PLACED
          && placement != null
          && placement.offsetSeconds() != null) {
        start = placement.offsetSeconds();
        stretch = placement.driftPpm() == null ? 1 : 1 + placement.driftPpm() * 1e-6;
      } else {
        reason = reason(source, placement);
      }
    }
    return new ClockItem(
        row,
        start,
        stretch,
        frames == null ? 0 : frames,
        rate == null ? 1 : rate,
        source.channels().size(),
        0,
        analysis == null ? null : analysis.overview().levels(),
        heard == null ? null : PictureCount.of(heard),
        flags(source, start, stretch),
        reason,
        row.standing() == Standing.AMBIGUOUS && placement != null ? places(placement) : List.of());
  }

  /** The best place and the others it fits. */
  private static List<Double> places(PlacementReport placement) {
    TreeSet<Double> places = new TreeSet<>();
    Double best = placement.offsetSeconds();
    if (best != null) {
      places.add(best);
    }
    placement.otherPlaces().forEach(other -> places.add(other.offsetSeconds()));
    return List.copyOf(places);
  }

  private static String reason(SourceReport source, @Nullable PlacementReport placement) {
    ErrorReport error = source.error();
    if (error != null) {
      return Sentences.errorSentence(error);
    }
    return placement == null || placement.why().isBlank()
        ? Texts.of("clock.not-lined-up")
        : MinusSigns.in(placement.why());
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
                LaneDamage.said(finding),
                stretches(finding.spans(), start, stretch)));
      }
      String tooHot = Texts.of("finding.line-level");
      if (channel.overload().verdict() == OverloadReport.Verdict.LINE_LEVEL
          && !says(flags, channel.index(), tooHot)) {
        flags.add(new Flag(channel.index(), Severity.FAULT, tooHot, List.of()));
      }
      String cutOff = Texts.of("finding.clipping");
      if (channel.clipping().clipped() && !says(flags, channel.index(), cutOff)) {
        flags.add(
            new Flag(
                channel.index(),
                Severity.FAULT,
                cutOff,
                stretches(channel.clipping().spans(), start, stretch)));
      }
    }
    return flags;
  }

  private static boolean says(List<Flag> flags, int channel, String words) {
    return flags.stream()
        .anyMatch(flag -> flag.channel() == channel && flag.words().startsWith(words));
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
    return items;
  }

  /** The item of a source. */
  public Optional<ClockItem> itemOf(@Nullable SourceRow row) {
    return items.stream().filter(item -> item.row().equals(row)).findFirst();
  }

  /**
   * The nearest finding after a moment, or before it; one of the whole clip lies at its start. Of
   * those that begin together each source's worst is reached, in the order of {@link #items()}.
   *
   * @param seconds the moment; NaN for the beginning, or the end
   * @param reached the source whose finding at that moment was reached already; null for none
   */
  public Optional<FlagPlace> nextFlag(
      double seconds, @Nullable SourceRow reached, boolean onwards) {
    double from = Double.isNaN(seconds) ? (onwards ? firstSecond - 1 : lastSecond + 1) : seconds;
    return NextFlag.of(items, from, reached, onwards);
  }

  /** What the picture says of a source, for those who listen to the window. */
  public String spoken(@Nullable SourceRow row) {
    return itemOf(row)
        .map(ClockModel::spoken)
        .orElseGet(() -> Texts.of("clock.spoken.none", bands.size(), items.size(), tray.size()));
  }

  private static String spoken(ClockItem item) {
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
