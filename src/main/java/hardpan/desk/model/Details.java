package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.ErrorReport;
import hardpan.report.FindingReport;
import hardpan.report.FindingReport.Severity;
import hardpan.report.FirstLooks;
import hardpan.report.OverloadReport;
import hardpan.report.PairReport;
import hardpan.report.PairWiring;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.Sentences;
import hardpan.report.SourceReport;
import hardpan.report.Standing;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** What there is to say about one source, or about the shoot as a whole. */
final class Details {
  private Details() {}

  /** What to look at first. */
  static List<DetailLine> ofShoot(Report report) {
    List<DetailLine> lines = new ArrayList<>();
    lines.add(new DetailLine.Heading(Texts.of("details.first")));
    List<FirstLooks.Look> looks = FirstLooks.of(report);
    if (looks.isEmpty()) {
      lines.add(new DetailLine.Sentence(Texts.of("details.all-well"), false, Mark.DONE));
    }
    for (FirstLooks.Look look : looks) {
      String where =
          look.channels().isEmpty()
              ? look.path()
              : look.path() + " (" + String.join(", ", look.channels()) + ")";
      lines.add(found(look.severity(), where + ": " + look.says(), look.remedy()));
    }
    lines.addAll(cautions(report.sources()));
    return lines;
  }

  /** Everything about one source. */
  static List<DetailLine> ofSource(Report report, SourceReport source, SourceRow row) {
    List<DetailLine> lines = new ArrayList<>();
    lines.add(new DetailLine.Heading(source.path()));
    ErrorReport error = source.error();
    if (error != null) {
      lines.add(found(Severity.FAULT, Sentences.errorSentence(error), Texts.of("details.resend")));
      return lines;
    }
    lines.add(new DetailLine.Sentence(Sentences.factsSentence(source), true, null));
    // A fault of the pair is the first thing to know.
    boolean pairFirst = SourceRow.severity(source.pair()) != null;
    if (pairFirst) {
      pair(source.pair(), lines);
    }
    findings(source, !pairFirst, lines);
    if (!pairFirst) {
      pair(source.pair(), lines);
    }
    Standing standing = Standing.of(report, source);
    PlacementReport placement = source.placement();
    lines.add(new DetailLine.Heading(Texts.of("details.place")));
    lines.add(
        new DetailLine.Sentence(
            placement != null
                ? Sentences.placementSentence(placement)
                : Texts.of(
                    standing == Standing.REFERENCE ? "details.is-reference" : "clock.not-lined-up"),
            false,
            row.mark(),
            placement == null ? Why.NONE : Evidence.of(placement)));
    lines.add(new DetailLine.Heading(Texts.of("details.levels")));
    lines.add(levels(source));
    lines.addAll(cautions(List.of(source)));
    return lines;
  }

  private static void pair(@Nullable PairReport pair, List<DetailLine> lines) {
    if (pair == null) {
      return;
    }
    lines.add(new DetailLine.Heading(Texts.of("details.pair")));
    Severity severity = SourceRow.severity(pair);
    String says = Sentences.pairSentence(pair);
    String remedy = PairWiring.remedy(pair.verdict());
    Why why = Evidence.of(pair);
    lines.add(
        severity == null
            ? new DetailLine.Sentence(says, false, null, why)
            : found(severity, says, remedy, why));
    lines.add(
        new DetailLine.Sentence(
            Texts.of("details.cause", PairWiring.cause(pair.verdict())), true, null));
    if (severity == null) {
      lines.add(new DetailLine.Sentence(Texts.of("details.remedy", remedy), true, null));
    }
  }

  /** The same thing on several channels is said once, with their names. */
  private static void findings(SourceReport source, boolean alone, List<DetailLine> lines) {
    Map<DetailLine.Found, Merged> merged = new LinkedHashMap<>();
    List<DetailLine> measured = new ArrayList<>();
    for (ChannelReport channel : source.channels()) {
      for (FindingReport finding : channel.findings()) {
        add(
            merged,
            found(finding.severity(), finding.says(), finding.remedy()),
            channel,
            Evidence.of(finding, name(channel)));
      }
      boolean said = channel.findings().stream().anyMatch(FirstLooks::tellsOfClipping);
      OverloadReport overload = channel.overload();
      if (overload.verdict() != OverloadReport.Verdict.NONE && !said) {
        add(
            merged,
            found(Severity.FAULT, Sentences.overloadSentence(overload), ""),
            channel,
            Evidence.of(overload));
      }
      if (channel.clipping().clipped()) {
        String says = Sentences.clippingSentence(channel.clipping());
        if (said) {
          String text = name(channel) + ": " + says;
          measured.add(new DetailLine.Sentence(text, true, null));
        } else {
          Why where = new Why(List.of(), Evidence.places(channel.clipping().spans()));
          add(merged, found(Severity.FAULT, says, ""), channel, where);
        }
      }
    }
    lines.add(new DetailLine.Heading(Texts.of("details.findings")));
    if (merged.isEmpty()) {
      lines.add(
          alone
              ? new DetailLine.Sentence(Texts.of("details.nothing"), false, Mark.DONE)
              : new DetailLine.Sentence(Texts.of("details.nothing-else"), true, null));
    }
    merged.forEach(
        (line, channels) ->
            lines.add(
                new DetailLine.Found(
                    line.mark(),
                    line.kind(),
                    String.join(", ", channels.names()) + ": " + line.says(),
                    line.remedy(),
                    channels.why())));
    lines.addAll(measured);
  }

  /** The channels of which the same is said, and what it rests on for all of them. */
  private record Merged(Set<String> names, Why why) {}

  private static void add(
      Map<DetailLine.Found, Merged> merged, DetailLine.Found line, ChannelReport channel, Why why) {
    Merged before = merged.getOrDefault(line, new Merged(Set.of(), Why.NONE));
    Set<String> names = new LinkedHashSet<>(before.names());
    names.add(name(channel));
    merged.put(line, new Merged(names, Evidence.both(before.why(), why)));
  }

  static String name(ChannelReport channel) {
    return channel.name().isBlank()
        ? Texts.of("details.channel", channel.index() + 1)
        : channel.name();
  }

  private static DetailLine.Found found(Severity severity, String says, String remedy) {
    return found(severity, says, remedy, Why.NONE);
  }

  private static DetailLine.Found found(Severity severity, String says, String remedy, Why why) {
    return new DetailLine.Found(
        Mark.of(severity), Texts.of("severity." + severity.word()), says, remedy, why);
  }

  private static DetailLine levels(SourceReport source) {
    List<List<String>> rows = new ArrayList<>();
    for (ChannelReport channel : source.channels()) {
      rows.add(
          List.of(
              name(channel),
              Times.level(channel.peakDbfs()),
              Times.level(channel.truePeakDbtp()),
              Times.level(channel.rmsDbfs()),
              Times.level(channel.integratedLufs()),
              Times.level(channel.loudnessRangeLu()),
              Times.level(channel.noiseFloorDbfs())));
    }
    return new DetailLine.Levels(
        List.of(
            Texts.of("levels.channel"),
            Texts.of("levels.peak"),
            Texts.of("levels.true-peak"),
            Texts.of("levels.rms"),
            Texts.of("levels.loudness"),
            Texts.of("levels.range"),
            Texts.of("levels.noise")),
        rows);
  }

  private static DetailLine caution(String says) {
    return new DetailLine.Sentence(says, true, null);
  }

  /** Of the usual cautions those that the findings of some sources call for. */
  private static List<DetailLine> cautions(List<SourceReport> sources) {
    boolean loud = false;
    boolean hum = false;
    boolean feed = false;
    for (SourceReport source : sources) {
      for (ChannelReport channel : source.channels()) {
        boolean tooHot = channel.overload().verdict() != OverloadReport.Verdict.NONE;
        loud |= tooHot || channel.clipping().clipped();
        feed |= tooHot;
        hum |= channel.findings().stream().anyMatch(finding -> finding.code().startsWith("hum"));
      }
      // The two legs of a balanced output: a console or another device that feeds the clip.
      PairReport pair = source.pair();
      feed |= pair != null && pair.verdict() == PairReport.Verdict.INVERTED;
    }
    List<String> all = Sentences.usualCautions();
    List<DetailLine> lines = new ArrayList<>();
    if (loud || hum || feed) {
      lines.add(new DetailLine.Heading(Texts.of("details.cautions")));
    }
    if (loud) {
      lines.add(caution(all.get(0)));
    }
    if (hum) {
      lines.add(caution(all.get(1)));
    }
    if (feed) {
      lines.add(caution(all.get(2)));
    }
    return lines;
  }
}
