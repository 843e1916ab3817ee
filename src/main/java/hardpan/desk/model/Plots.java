package hardpan.desk.model;

import hardpan.lineup.Placement;
import hardpan.report.ChannelReport;
import hardpan.report.FindingReport;
import hardpan.report.MinusSigns;
import hardpan.report.PairReport;
import hardpan.report.Sentences;
import hardpan.report.SourceReport;
import hardpan.shoot.CloseLook;
import hardpan.shoot.ShootSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** The pictures of one source. */
final class Plots {
  private static final double[] LEVEL_TICKS_DB = {0, -6, -20, -40};

  /** Rarer levels are drawn as if they were as frequent: one sample in a million. */
  private static final double LEAST_SHARE_LOG10 = -6;

  private static final double LOWEST_HZ = 20;
  private static final double LOWEST_DB = -140;
  private static final int MOST_HUM_LINES = 12;
  private static final int SPECTRUM_COLUMNS = 400;
  private static final double LEAST_RANGE_MS = 0.05;

  private Plots() {}

  /**
   * All of them: the worst finding's own first, then in the order of the channels, the place last.
   */
  static List<Plot> of(SourceReport report, ShootSource source, CloseLook look) {
    List<Plot> plots = new ArrayList<>();
    List<ChannelReport> channels = report.channels();
    int count = Math.min(channels.size(), look.channels().size());
    for (int i = 0; i < count; i++) {
      plots.add(levels(channels.get(i), look.channels().get(i)));
    }
    int pairAt = look.pair().isEmpty() ? -1 : plots.size();
    if (pairAt >= 0) {
      plots.add(pair(report.pair(), look.pair()));
    }
    int spectrumAt = -1;
    for (int i = 0; i < count; i++) {
      if (look.channels().get(i).spectrumDb().length > 0) {
        spectrumAt = spectrumAt < 0 ? plots.size() : spectrumAt;
        plots.add(spectrum(channels.get(i), look.channels().get(i), look.rateHz()));
      }
    }
    residuals(source).ifPresent(plots::add);
    // What the worst finding is about comes first, the rest in its usual order.
    if (pairAt >= 0 && SourceRow.severity(report.pair()) != null) {
      plots.add(0, plots.remove(pairAt));
    } else if (spectrumAt >= 0
        && channels.stream().noneMatch(channel -> channel.clipping().clipped())
        && channels.stream()
            .flatMap(channel -> channel.findings().stream())
            .anyMatch(finding -> finding.code().equals("hum"))) {
      plots.add(0, plots.remove(spectrumAt));
    }
    return plots;
  }

  private static double root(double db) {
    return Math.pow(10, db / 40);
  }

  private static Plot.Axis levelAxis(String words) {
    List<Plot.Tick> ticks = new ArrayList<>();
    ticks.add(new Plot.Tick(0, "\u2212\u221e"));
    for (double db : LEVEL_TICKS_DB) {
      String text = Numbers.plain(db, 0);
      ticks.add(new Plot.Tick(root(db), text));
      ticks.add(new Plot.Tick(-root(db), text));
    }
    return new Plot.Axis(words, -CloseLook.LARGEST_ROOT, CloseLook.LARGEST_ROOT, ticks);
  }

  private static Plot levels(ChannelReport channel, CloseLook.Channel look) {
    List<Plot.Column> columns = new ArrayList<>();
    double lowest = LEAST_SHARE_LOG10;
    for (int cell = 0; cell < look.counts().length; cell++) {
      if (look.counts()[cell] > 0) {
        double share = (double) look.counts()[cell] / Math.max(1, look.frameCount());
        columns.add(
            new Plot.Column(
                CloseLook.rootOf(cell, CloseLook.LEVEL_CELLS),
                CloseLook.rootOf(cell + 1, CloseLook.LEVEL_CELLS),
                Math.max(lowest, Math.log10(share))));
      }
    }
    List<Plot.Line> lines = new ArrayList<>();
    String words = Texts.of("plot.levels.peak", Times.level(channel.peakDbfs()));
    for (double[] ceiling : ceilings(channel)) {
      lines.add(
          new Plot.Line(
              true,
              ceiling[0] * root(ceiling[1]),
              lines.isEmpty() ? Texts.of("plot.levels.ceiling", Times.level(ceiling[1])) : "",
              Tone.FAULT));
    }
    if (!lines.isEmpty()) {
      words += " " + MinusSigns.in(Sentences.clippingSentence(channel.clipping()));
    } else if (!channel.clipping().clipped()) {
      words += " " + Texts.of("plot.levels.no-ceiling");
    }
    List<Plot.Tick> shares = new ArrayList<>();
    for (int power = 0; power >= lowest; power -= 2) {
      shares.add(new Plot.Tick(power, power == 0 ? "100 %" : percent(Math.pow(10, power))));
    }
    return new Plot(
        Texts.of("plot.levels.title", Details.name(channel)),
        words,
        levelAxis(Texts.of("plot.levels.x")),
        new Plot.Axis(Texts.of("plot.levels.y"), lowest, 0, shares),
        columns,
        List.of(),
        List.of(),
        lines);
  }

  private static String percent(double share) {
    return String.format(Locale.ROOT, "%.4f", 100 * share).replaceAll("\\.?0+$", "") + " %";
  }

  /** Sign and level of the halves that are cut off. */
  private static List<double[]> ceilings(ChannelReport channel) {
    Double both = channel.clipping().ceilingDbfs();
    if (!channel.clipping().clipped() || both == null) {
      return List.of();
    }
    Optional<FindingReport> finding =
        channel.findings().stream().filter(one -> one.code().equals("clipping")).findFirst();
    Object up = finding.map(one -> one.evidence().get("positiveDbfs")).orElse(null);
    Object down = finding.map(one -> one.evidence().get("negativeDbfs")).orElse(null);
    List<double[]> ceilings = new ArrayList<>();
    if (up instanceof Number number) {
      ceilings.add(new double[] {1, number.doubleValue()});
    }
    if (down instanceof Number number) {
      ceilings.add(new double[] {-1, number.doubleValue()});
    }
    return ceilings.isEmpty() ? List.of(new double[] {1, both}, new double[] {-1, both}) : ceilings;
  }

  private static Plot pair(@Nullable PairReport pair, List<int[]> counts) {
    double most = 1;
    for (int[] row : counts) {
      for (int count : row) {
        most = Math.max(most, count);
      }
    }
    List<Plot.Cell> cells = new ArrayList<>();
    int size = CloseLook.PAIR_CELLS;
    for (int row = 0; row < size; row++) {
      for (int column = 0; column < size; column++) {
        int count = counts.get(row)[column];
        if (count > 0) {
          cells.add(
              new Plot.Cell(
                  CloseLook.rootOf(column, size),
                  CloseLook.rootOf(column + 1, size),
                  CloseLook.rootOf(row, size),
                  CloseLook.rootOf(row + 1, size),
                  most <= 1 ? 1 : Math.log(count) / Math.log(most)));
        }
      }
    }
    String words = pair == null ? "" : MinusSigns.in(Sentences.pairSentence(pair)) + " ";
    return new Plot(
        Texts.of("plot.pair.title"),
        words + Texts.of("plot.pair.words"),
        levelAxis(Texts.of("plot.pair.x")),
        levelAxis(Texts.of("plot.pair.y")),
        List.of(),
        cells,
        List.of(),
        List.of());
  }

  private static Plot spectrum(ChannelReport channel, CloseLook.Channel look, int rateHz) {
    double from = Math.log10(LOWEST_HZ);
    double to = Math.log10(Math.min(24_000, rateHz / 2.0));
    List<Plot.Column> columns = new ArrayList<>();
    double highest = LOWEST_DB;
    double highestHz = 0;
    for (int i = 0; i < SPECTRUM_COLUMNS; i++) {
      double left = from + (to - from) * i / SPECTRUM_COLUMNS;
      double right = from + (to - from) * (i + 1) / SPECTRUM_COLUMNS;
      double db = loudest(look, Math.pow(10, left), Math.pow(10, right));
      if (db > highest) {
        highest = db;
        highestHz = Math.pow(10, (left + right) / 2);
      }
      columns.add(new Plot.Column(left, right, Math.max(LOWEST_DB, db)));
    }
    List<Plot.Line> lines = new ArrayList<>();
    String words = Texts.of("plot.spectrum.no-hum");
    Optional<FindingReport> hum =
        channel.findings().stream().filter(one -> one.code().equals("hum")).findFirst();
    if (hum.isPresent() && hum.get().evidence().get("fundamentalHz") instanceof Number base) {
      words = MinusSigns.in(hum.get().says());
      for (int line = 1; line <= MOST_HUM_LINES; line++) {
        double hz = base.doubleValue() * line;
        if (Math.log10(hz) < to) {
          String label = line == 1 ? Texts.of("plot.spectrum.hum", Numbers.plain(hz, 1)) : "";
          lines.add(new Plot.Line(true, Math.log10(hz), label, Tone.WARNING));
        }
      }
    }
    List<Plot.Tick> hertz = new ArrayList<>();
    for (double hz : new double[] {20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000}) {
      if (Math.log10(hz) <= to) {
        hertz.add(
            new Plot.Tick(
                Math.log10(hz),
                hz < 1000 ? Numbers.plain(hz, 0) : Numbers.plain(hz / 1000, 0) + "k"));
      }
    }
    List<Plot.Tick> levels = new ArrayList<>();
    double top = Math.min(20, 20 * Math.ceil(highest / 20));
    double bottom = Math.max(LOWEST_DB, top - 120);
    for (double db = bottom; db <= top; db += 20) {
      levels.add(new Plot.Tick(db, Numbers.plain(db, 0)));
    }
    return new Plot(
        Texts.of("plot.spectrum.title", Details.name(channel)),
        words
            + " "
            + Texts.of(
                "plot.spectrum.loudest", Numbers.plain(highestHz, 0), Numbers.plain(highest, 0)),
        new Plot.Axis(Texts.of("plot.spectrum.x"), from, to, hertz),
        new Plot.Axis(Texts.of("plot.spectrum.y"), bottom, top, levels),
        columns,
        List.of(),
        List.of(),
        lines);
  }

  /** The highest of the bins between two frequencies, or the nearest one. */
  private static double loudest(CloseLook.Channel look, double fromHz, double toHz) {
    double[] levels = look.spectrumDb();
    int first = (int) Math.ceil(fromHz / look.hzPerBin());
    int end = (int) Math.ceil(toHz / look.hzPerBin());
    if (first >= end) {
      first = (int) Math.round((fromHz + toHz) / 2 / look.hzPerBin());
      end = first + 1;
    }
    double loudest = LOWEST_DB;
    for (int bin = Math.max(1, first); bin < Math.min(levels.length, end); bin++) {
      loudest = Math.max(loudest, levels[bin]);
    }
    return loudest;
  }

  /** How far the measured windows lie from the line of the place. */
  static Optional<Plot> residuals(ShootSource source) {
    Placement placement = source.placement();
    var analysis = source.analysis();
    if (placement == null || analysis == null || placement.windows().isEmpty()) {
      return Optional.empty();
    }
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    if (offset == null || drift == null) {
      return Optional.empty();
    }
    double largest = 0;
    int counted = 0;
    List<Plot.Dot> dots = new ArrayList<>();
    for (Placement.Window window : placement.windows()) {
      double line = offset + window.sourceSeconds() * drift * 1e-6;
      double late = 1000 * (window.delaySeconds() - line);
      dots.add(new Plot.Dot(window.sourceSeconds(), late, window.counted()));
      if (window.counted()) {
        counted++;
        largest = Math.max(largest, Math.abs(late));
      }
    }
    double range = Math.max(LEAST_RANGE_MS, 1.25 * largest);
    List<Plot.Tick> times = new ArrayList<>();
    double seconds = Math.max(1e-3, analysis.durationSeconds());
    for (int i = 0; i <= 4; i++) {
      times.add(new Plot.Tick(seconds * i / 4, Times.clock(seconds * i / 4, 0)));
    }
    List<Plot.Tick> lates = new ArrayList<>();
    for (double share : new double[] {-0.8, 0, 0.8}) {
      lates.add(new Plot.Tick(share * range, Numbers.signed(share * range, 2)));
    }
    return Optional.of(
        new Plot(
            Texts.of("plot.residuals.title"),
            Texts.of("plot.residuals.words", counted, dots.size(), Numbers.plain(largest, 3)),
            new Plot.Axis(Texts.of("plot.residuals.x"), 0, seconds, times),
            new Plot.Axis(Texts.of("plot.residuals.y"), -range, range, lates),
            List.of(),
            List.of(),
            dots,
            List.of(new Plot.Line(false, 0, "", Tone.EDGE))));
  }
}
