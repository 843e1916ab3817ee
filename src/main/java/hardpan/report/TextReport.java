package hardpan.report;

import java.text.BreakIterator;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * The report as plain text for a terminal: no colour, lines of at most {@value #WIDTH} characters
 * (a file name that is longer alone stays whole), one block a source. Control characters and
 * direction overrides in names are replaced, so that a file name cannot steer the terminal.
 */
public final class TextReport {
  /** Longest line. */
  public static final int WIDTH = 80;

  private static final int MOST_SPANS = 6;

  private TextReport() {}

  /** The whole text, ending with a line feed. */
  public static String of(Report report) {
    List<String> lines = new ArrayList<>();
    wrap(lines, "", String.join(" ", Sentences.overview(report)));
    List<FirstLooks.Look> looks = FirstLooks.of(report);
    if (!looks.isEmpty()) {
      lines.add("");
      lines.add("LOOK AT FIRST");
      for (FirstLooks.Look look : looks) {
        String who =
            look.channels().isEmpty()
                ? look.path()
                : look.path() + " (" + String.join(", ", look.channels()) + ")";
        wrap(
            lines,
            "  ",
            look.severity().word().toUpperCase(Locale.ROOT)
                + " "
                + who
                + ": "
                + join(look.says(), look.remedy()));
      }
    }
    for (SourceReport source : report.sources()) {
      lines.add("");
      source(lines, report, source);
    }
    List<DeviceReport> told =
        report.devices().stream().filter(device -> !device.says().isEmpty()).toList();
    if (!told.isEmpty()) {
      lines.add("");
      lines.add("CLOCKS");
      for (DeviceReport device : told) {
        wrap(lines, "  ", device.says());
      }
    }
    if (!report.lanes().isEmpty()) {
      lines.add("");
      lines.add("LANES");
      for (LaneReport lane : report.lanes()) {
        lane(lines, lane);
      }
    }
    String leftOut = Sentences.leftOut(report.leftOut());
    if (!leftOut.isEmpty()) {
      lines.add("");
      wrap(lines, "", leftOut);
    }
    return String.join("\n", lines) + "\n";
  }

  /** One source's block, ending with a line feed. */
  public static String ofSource(Report report, SourceReport source) {
    List<String> lines = new ArrayList<>();
    source(lines, report, source);
    return String.join("\n", lines) + "\n";
  }

  private static void source(List<String> lines, Report report, SourceReport source) {
    wrap(lines, "", source.path() + "  [" + Standing.of(report, source).label() + "]");
    ErrorReport error = source.error();
    if (error != null) {
      wrap(lines, "  ", Sentences.errorSentence(error));
      return;
    }
    wrap(lines, "  ", Sentences.factsSentence(source));
    String began = Sentences.began(source);
    if (began != null) {
      wrap(lines, "  ", "Began " + began + ".");
    }
    PlacementReport placement = source.placement();
    if (placement != null) {
      wrap(lines, "  ", Sentences.placementSentence(placement));
    }
    PairReport pair = source.pair();
    if (pair != null) {
      wrap(lines, "  ", "Pair: " + Sentences.pairSentence(pair));
      wrap(lines, "    ", "Likely cause: " + PairWiring.cause(pair.verdict()));
      wrap(lines, "    ", "What to do: " + PairWiring.remedy(pair.verdict()));
    }
    for (ChannelReport channel : source.channels()) {
      channel(lines, channel);
    }
  }

  private static void channel(List<String> lines, ChannelReport channel) {
    List<String> levels = new ArrayList<>();
    level(levels, "peak", channel.peakDbfs(), "dBFS");
    level(levels, "true peak", channel.truePeakDbtp(), "dBTP");
    level(levels, "rms", channel.rmsDbfs(), "dBFS");
    level(levels, "loudness", channel.integratedLufs(), "LUFS");
    level(levels, "range", channel.loudnessRangeLu(), "LU");
    level(levels, "loudest 400 ms", channel.maxMomentaryLufs(), "LUFS");
    level(levels, "loudest 3 s", channel.maxShortTermLufs(), "LUFS");
    level(levels, "noise floor", channel.noiseFloorDbfs(), "dBFS");
    wrap(
        lines,
        "  ",
        (channel.index() + 1 + " " + channel.name()).strip()
            + ": "
            + (levels.isEmpty() ? "no level to measure, silent" : String.join(", ", levels)));
    if (channel.clipping().clipped()) {
      wrap(lines, "    ", Sentences.clippingSentence(channel.clipping()));
      spans(lines, channel.clipping().spans());
    }
    if (channel.overload().verdict() != OverloadReport.Verdict.NONE
        && channel.findings().stream().noneMatch(FirstLooks::tellsOfClipping)) {
      wrap(lines, "    ", Sentences.overloadSentence(channel.overload()));
    }
    for (FindingReport finding : channel.findings()) {
      wrap(
          lines,
          "    ",
          finding.severity().word().toUpperCase(Locale.ROOT)
              + " "
              + finding.code()
              + ": "
              + join(finding.says(), finding.remedy()));
    }
  }

  private static void level(
      List<String> levels, String label, @Nullable Double value, String unit) {
    if (value != null) {
      levels.add(label + " " + Figures.fixed(value, 1) + " " + unit);
    }
  }

  private static void spans(List<String> lines, List<SpanReport> spans) {
    if (spans.isEmpty()) {
      return;
    }
    List<String> texts = new ArrayList<>();
    for (SpanReport span : spans.subList(0, Math.min(MOST_SPANS, spans.size()))) {
      texts.add(
          Figures.clock(span.startSeconds(), 2) + " to " + Figures.clock(span.endSeconds(), 2));
    }
    String more = spans.size() > MOST_SPANS ? ", and " + (spans.size() - MOST_SPANS) + " more" : "";
    wrap(lines, "    ", "Stretches: " + String.join(", ", texts) + more + ".");
  }

  private static void lane(List<String> lines, LaneReport lane) {
    Long start = lane.startFrameOnReference();
    wrap(
        lines,
        "  ",
        lane.file()
            + "  "
            + lane.name()
            + ", "
            + lane.roleWords()
            + ", from "
            + lane.source()
            + ", "
            + (start == null
                ? "without a place"
                : "starts at " + Figures.clock((double) start / lane.sampleRateHz(), 3))
            + ", "
            + lane.sampleRateHz()
            + " Hz, "
            + lane.bitsPerSample()
            + "-bit "
            + lane.sampleFormat().word()
            + String.join("", Sentences.laneRemarks(lane).stream().map(r -> "; " + r).toList()));
  }

  private static String join(String says, String remedy) {
    return remedy.isBlank() ? says : says + " " + remedy;
  }

  /** Breaks a paragraph at blanks; further lines are indented two more, but in the margin. */
  static void wrap(List<String> lines, String indent, String text) {
    String hanging = indent.isEmpty() ? "" : "  ";
    StringBuilder line = new StringBuilder(indent);
    boolean fresh = true;
    for (String word : Figures.tied(harmless(text)).split(" ", -1)) {
      if (!fresh && columns(line) + 1 + columns(word) > WIDTH) {
        lines.add(finished(line));
        line = new StringBuilder(indent).append(hanging);
        fresh = true;
      }
      line.append(fresh ? "" : " ").append(word);
      fresh = false;
    }
    lines.add(finished(line));
  }

  private static String finished(StringBuilder line) {
    return line.toString().replace('\u00a0', ' ').stripTrailing();
  }

  /** Characters as a reader counts them: a letter with its accents is one. */
  private static int columns(CharSequence text) {
    BreakIterator characters = BreakIterator.getCharacterInstance(Locale.ROOT);
    characters.setText(text.toString());
    int count = 0;
    while (characters.next() != BreakIterator.DONE) {
      count++;
    }
    return count;
  }

  /** Replaces control characters, direction overrides and lone surrogates by U+FFFD. */
  static String harmless(String text) {
    StringBuilder clean = new StringBuilder(text.length());
    text.replace('\n', ' ')
        .codePoints()
        .forEach(point -> clean.appendCodePoint(Html.isHarmless(point) ? point : 0xFFFD));
    return clean.toString();
  }
}
