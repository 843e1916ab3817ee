package hardpan.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** What to look at first: faults and warnings of a whole shoot, worst first. */
public final class FirstLooks {
  /** How the codes of findings about clipping begin; an overload says the same and more. */
  private static final String CLIPPING = "clip";

  private FirstLooks() {}

  /**
   * One thing to look at.
   *
   * @param severity how much it matters
   * @param path the source
   * @param channels names of the channels it concerns; empty for the whole source
   * @param says what is wrong
   * @param remedy what to do; may be empty
   */
  public record Look(
      FindingReport.Severity severity,
      String path,
      List<String> channels,
      String says,
      String remedy) {
    /** Copies. */
    public Look {
      channels = List.copyOf(channels);
    }
  }

  /**
   * Gathers them, faults before warnings, otherwise in the report's order; notes are left out. The
   * same thing on several channels of a source is one entry.
   */
  public static List<Look> of(Report report) {
    Map<Look, Set<String>> merged = new LinkedHashMap<>();
    for (SourceReport source : report.sources()) {
      ofSource(source, merged);
    }
    List<Look> looks = new ArrayList<>();
    merged.forEach(
        (look, channels) ->
            looks.add(
                new Look(
                    look.severity(),
                    look.path(),
                    List.copyOf(channels),
                    look.says(),
                    look.remedy())));
    looks.sort(Comparator.comparing(Look::severity).reversed());
    return List.copyOf(looks);
  }

  private static void ofSource(SourceReport source, Map<Look, Set<String>> merged) {
    ErrorReport error = source.error();
    if (error != null) {
      add(merged, FindingReport.Severity.FAULT, source, Sentences.errorSentence(error), "");
    }
    PlacementReport placement = source.placement();
    if (placement != null && placement.state() != PlacementReport.State.PLACED) {
      add(
          merged,
          FindingReport.Severity.WARNING,
          source,
          Sentences.placementSentence(placement),
          placement.state() == PlacementReport.State.AMBIGUOUS
              ? "Compare the places by ear or by the picture and choose."
              : "If it belongs to this shoot, put it in its place by hand; else leave it out.");
    }
    PairReport pair = source.pair();
    if (pair != null) {
      switch (pair.verdict()) {
        case INVERTED, BOTH_SILENT -> addPair(merged, FindingReport.Severity.FAULT, source, pair);
        case ONE_SILENT -> addPair(merged, FindingReport.Severity.WARNING, source, pair);
        case ISOLATED, SAME_SIGNAL, LOWER_COPY, STEREO, UNKNOWN -> {}
      }
    }
    for (ChannelReport channel : source.channels()) {
      ofChannel(source, channel, merged);
    }
  }

  private static void ofChannel(
      SourceReport source, ChannelReport channel, Map<Look, Set<String>> merged) {
    OverloadReport overload = channel.overload();
    boolean tooHot = overload.verdict() != OverloadReport.Verdict.NONE;
    if (tooHot) {
      addChannel(
          merged,
          overload.verdict() == OverloadReport.Verdict.LINE_LEVEL
              ? FindingReport.Severity.FAULT
              : FindingReport.Severity.WARNING,
          source,
          channel,
          Sentences.overloadSentence(overload) + clippingSays(channel),
          clippingRemedy(channel));
    } else if (channel.clipping().clipped() && clippingFindings(channel).isEmpty()) {
      addChannel(
          merged,
          FindingReport.Severity.FAULT,
          source,
          channel,
          Sentences.clippingSentence(channel.clipping()),
          "");
    }
    for (FindingReport finding : channel.findings()) {
      boolean said = tooHot && finding.code().startsWith(CLIPPING);
      if (finding.severity() != FindingReport.Severity.NOTE && !said) {
        addChannel(merged, finding.severity(), source, channel, finding.says(), finding.remedy());
      }
    }
  }

  private static List<FindingReport> clippingFindings(ChannelReport channel) {
    return channel.findings().stream()
        .filter(finding -> finding.code().startsWith(CLIPPING))
        .toList();
  }

  private static String clippingSays(ChannelReport channel) {
    StringBuilder says = new StringBuilder();
    clippingFindings(channel).forEach(finding -> says.append(' ').append(finding.says()));
    return says.toString();
  }

  private static String clippingRemedy(ChannelReport channel) {
    return String.join(" ", clippingFindings(channel).stream().map(FindingReport::remedy).toList());
  }

  private static void addPair(
      Map<Look, Set<String>> merged,
      FindingReport.Severity severity,
      SourceReport source,
      PairReport pair) {
    add(merged, severity, source, Sentences.pairSentence(pair), PairWiring.remedy(pair.verdict()));
  }

  private static void add(
      Map<Look, Set<String>> merged,
      FindingReport.Severity severity,
      SourceReport source,
      String says,
      String remedy) {
    merged.putIfAbsent(
        new Look(severity, source.path(), List.of(), says, remedy), new LinkedHashSet<>());
  }

  private static void addChannel(
      Map<Look, Set<String>> merged,
      FindingReport.Severity severity,
      SourceReport source,
      ChannelReport channel,
      String says,
      String remedy) {
    merged
        .computeIfAbsent(
            new Look(severity, source.path(), List.of(), says, remedy),
            look -> new LinkedHashSet<>())
        .add(channel.name().isBlank() ? "channel " + (channel.index() + 1) : channel.name());
  }
}
