package hardpan.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Predicate;

/** What to look at first: faults and warnings of a whole shoot, worst first. */
public final class FirstLooks {
  /** How the codes of findings about clipping begin. */
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
   * same thing on several channels of a source is one entry. So is one kind of thing on both sides
   * of a clip, with each side's own numbers.
   */
  public static List<Look> of(Report report) {
    List<Look> looks = new ArrayList<>();
    report.sources().forEach(source -> looks.addAll(of(source)));
    looks.sort(Comparator.comparing(Look::severity).reversed());
    return List.copyOf(looks);
  }

  /** Those of one source, in the report's order. */
  public static List<Look> of(SourceReport source) {
    Found found = new Found(source);
    ofSource(source, found);
    return List.copyOf(found.looks());
  }

  private static void ofSource(SourceReport source, Found found) {
    ErrorReport error = source.error();
    if (error != null) {
      found.add(FindingReport.Severity.FAULT, Sentences.errorSentence(error), "");
    }
    PlacementReport placement = source.placement();
    if (placement != null
        && placement.state() != PlacementReport.State.PLACED
        && !placement.wasLeftOut()) {
      found.add(
          FindingReport.Severity.WARNING,
          Sentences.placementSentence(placement),
          placement.state() == PlacementReport.State.AMBIGUOUS
              ? "Compare the places by ear or by the picture and choose."
              : "If it belongs to this shoot, put it in its place by hand; else leave it out.");
    }
    Double elsewhere = placement == null ? null : placement.soundElsewhereSeconds();
    if (placement != null && elsewhere != null) {
      found.add(
          FindingReport.Severity.WARNING,
          Sentences.againstItsSound(placement, elsewhere),
          "Hear it against the reference at both places; let its sound decide if the place by hand"
              + " was a slip.");
    }
    PairReport pair = source.pair();
    if (pair != null) {
      switch (pair.verdict()) {
        case INVERTED, BOTH_SILENT -> addPair(found, FindingReport.Severity.FAULT, pair);
        case ONE_SILENT -> addPair(found, FindingReport.Severity.WARNING, pair);
        case ISOLATED, SAME_SIGNAL, LOWER_COPY, STEREO, UNKNOWN -> {}
      }
    }
    for (ChannelReport channel : source.channels()) {
      ofChannel(channel, found);
    }
  }

  private static void addPair(Found found, FindingReport.Severity severity, PairReport pair) {
    found.add(severity, Sentences.pairSentence(pair), PairWiring.remedy(pair.verdict()));
  }

  private static void ofChannel(ChannelReport channel, Found found) {
    OverloadReport overload = channel.overload();
    boolean tooHot = overload.verdict() != OverloadReport.Verdict.NONE;
    boolean said = channel.findings().stream().anyMatch(FirstLooks::tellsOfClipping);
    if (tooHot && !said) {
      found.add(
          overload.verdict() == OverloadReport.Verdict.LINE_LEVEL
              ? FindingReport.Severity.FAULT
              : FindingReport.Severity.WARNING,
          channel,
          "overload " + overload.verdict(),
          Sentences.overloadSentence(overload),
          "");
    } else if (channel.clipping().clipped() && !said) {
      found.add(
          FindingReport.Severity.FAULT,
          channel,
          CLIPPING,
          Sentences.clippingSentence(channel.clipping()),
          "");
    }
    for (FindingReport finding : channel.findings()) {
      if (finding.severity() != FindingReport.Severity.NOTE) {
        found.add(finding.severity(), channel, finding.code(), finding.says(), finding.remedy());
      }
    }
  }

  /**
   * Whether it names what is cut off and how far too hot the feed was, so that nothing else need.
   */
  public static boolean tellsOfClipping(FindingReport finding) {
    return finding.code().startsWith(CLIPPING) || finding.code().equals("line-level");
  }

  /** What was found in one source, the same on several channels once. */
  private static final class Found {
    private final SourceReport source;
    private final List<Entry> entries = new ArrayList<>();

    Found(SourceReport source) {
      this.source = source;
    }

    /** About the whole source. */
    void add(FindingReport.Severity severity, String says, String remedy) {
      entries.add(new Entry(severity, "", List.of(), says, remedy));
    }

    /** About a channel; the kind is the same for what is the same fault on another channel. */
    void add(
        FindingReport.Severity severity,
        ChannelReport channel,
        String kind,
        String says,
        String remedy) {
      String name = channel.name().isBlank() ? "channel " + (channel.index() + 1) : channel.name();
      Entry now = new Entry(severity, kind, List.of(name), says, remedy);
      int same = first(now::saysTheSameAs);
      int otherSide = source.channels().size() == 2 ? first(now::isOtherSideOf) : -1;
      if (same >= 0) {
        entries.set(same, entries.get(same).alsoOn(name));
      } else if (otherSide >= 0) {
        entries.set(otherSide, entries.get(otherSide).onBothSides(now));
      } else {
        entries.add(now);
      }
    }

    /** Number of the first such entry; -1 if there is none. */
    private int first(Predicate<Entry> which) {
      for (int i = 0; i < entries.size(); i++) {
        if (which.test(entries.get(i))) {
          return i;
        }
      }
      return -1;
    }

    List<Look> looks() {
      return entries.stream()
          .map(
              one ->
                  new Look(one.severity(), source.path(), one.channels(), one.says(), one.remedy()))
          .toList();
    }
  }

  private record Entry(
      FindingReport.Severity severity,
      String kind,
      List<String> channels,
      String says,
      String remedy) {
    boolean saysTheSameAs(Entry other) {
      return severity == other.severity
          && says.equals(other.says)
          && remedy.equals(other.remedy)
          && !other.channels.isEmpty();
    }

    boolean isOtherSideOf(Entry other) {
      return kind.equals(other.kind)
          && other.channels.size() == 1
          && !channels.equals(other.channels);
    }

    Entry alsoOn(String channel) {
      List<String> all = new ArrayList<>(channels);
      if (!all.contains(channel)) {
        all.add(channel);
      }
      return new Entry(severity, kind, List.copyOf(all), says, remedy);
    }

    /** As bad as the worse side. */
    Entry onBothSides(Entry other) {
      String one = channels.get(0);
      String two = other.channels.get(0);
      return new Entry(
          severity.compareTo(other.severity) >= 0 ? severity : other.severity,
          kind,
          List.of(one, two),
          SideBySideWords.of(one, says, two, other.says),
          SideBySideWords.of(one, remedy, two, other.remedy));
    }
  }
}
