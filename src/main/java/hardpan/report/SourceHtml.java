package hardpan.report;

import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** One source as a card of the page. */
final class SourceHtml {
  private static final int MOST_SPANS = 12;
  private static final DateTimeFormatter MOMENT =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss xxx", Locale.ROOT);

  private SourceHtml() {}

  /** A moment for reading, with its offset from UTC. */
  static String moment(OffsetDateTime time) {
    return MOMENT.format(time);
  }

  static void append(
      StringBuilder html,
      int number,
      SourceReport source,
      Standing standing,
      @Nullable SourcePicture picture) {
    html.append("<article class=\"card\" id=\"s")
        .append(number)
        .append("\" aria-labelledby=\"s")
        .append(number)
        .append("-h\">\n<h3 id=\"s")
        .append(number)
        .append("-h\">")
        .append(number)
        .append(" ")
        .append(Html.name(source.path()))
        .append(" ")
        .append(PageIcons.badge(standing))
        .append("</h3>\n");
    ErrorReport error = source.error();
    if (error != null) {
      paragraph(html, Sentences.errorSentence(error));
      html.append("</article>\n");
      return;
    }
    facts(html, source);
    PlacementReport placement = source.placement();
    if (placement != null) {
      html.append("<h4>Place</h4>\n");
      paragraph(html, Sentences.placementSentence(placement));
      Double length = source.durationSeconds();
      if (picture != null && placement.state() == PlacementReport.State.PLACED && length != null) {
        html.append(ResidualDrawing.figure(picture.residuals(), length));
      }
    }
    PairReport pair = source.pair();
    if (pair != null) {
      html.append("<h4>Left and right</h4>\n");
      paragraph(html, Sentences.pairSentence(pair));
      paragraph(html, "Likely cause: " + PairWiring.cause(pair.verdict()));
      paragraph(html, "What to do: " + PairWiring.remedy(pair.verdict()));
    }
    if (!source.channels().isEmpty()) {
      levels(html, source);
      for (ChannelReport channel : source.channels()) {
        channel(html, source, channel, picture);
      }
    }
    html.append("</article>\n");
  }

  private static void facts(StringBuilder html, SourceReport source) {
    html.append("<dl class=\"facts\">");
    fact(html, "Kind", source.kind().word());
    fact(html, "Length", Figures.length(source.durationSeconds()));
    fact(html, "File", source.container());
    fact(
        html,
        "Sound",
        joined(
            CodecWords.of(source.codec(), source.bitsPerSample()),
            source.sampleRateHz() == null ? null : source.sampleRateHz() + " Hz",
            source.channelCount() == null
                ? null
                : Figures.count(source.channelCount(), "channel", "channels")));
    fact(html, "Device", source.device());
    String run = source.run();
    fact(
        html,
        "Run",
        run == null ? null : run + (source.runPart() == null ? "" : ", part " + source.runPart()));
    fact(html, "Began", Sentences.began(source));
    SourceReport.Reader reader = source.reader();
    fact(
        html,
        "Read by",
        reader == null
            ? null
            : reader == SourceReport.Reader.NATIVE ? "native reader" : "fallback reader");
    html.append("</dl>\n");
  }

  private static void fact(StringBuilder html, String label, @Nullable String value) {
    if (value != null && !value.isEmpty()) {
      html.append("<div><dt>")
          .append(label)
          .append("</dt><dd>")
          .append(Html.name(value))
          .append("</dd></div>");
    }
  }

  private static String joined(@Nullable String... parts) {
    StringBuilder text = new StringBuilder();
    for (String part : parts) {
      if (part != null) {
        text.append(text.isEmpty() ? "" : ", ").append(part);
      }
    }
    return text.toString();
  }

  private static void levels(StringBuilder html, SourceReport source) {
    html.append("<h4>Levels</h4>\n<div class=\"scroll\" role=\"region\" tabindex=\"0\"")
        .append(" aria-label=\"Levels of ")
        .append(Html.isolated(source.path()))
        .append("\"><table>")
        .append(
            source.channels().stream().allMatch(SourceHtml::isMeasured)
                ? ""
                : "<caption>A dash: could not be measured.</caption>")
        .append("<thead><tr><th scope=\"col\">Channel</th>");
    for (String head :
        List.of(
            "Peak, dBFS",
            "True peak, dBTP",
            "RMS, dBFS",
            "Loudness, LUFS",
            "Range, LU",
            "Loudest 400 ms, LUFS",
            "Loudest 3 s, LUFS",
            "Noise floor, dBFS",
            "DC offset, %")) {
      html.append("<th class=\"n\" scope=\"col\">").append(head).append("</th>");
    }
    html.append("</tr></thead><tbody>");
    for (ChannelReport channel : source.channels()) {
      html.append("<tr><th scope=\"row\">").append(Html.name(title(channel))).append("</th>");
      number(html, channel.peakDbfs(), 1);
      number(html, channel.truePeakDbtp(), 1);
      number(html, channel.rmsDbfs(), 1);
      number(html, channel.integratedLufs(), 1);
      number(html, channel.loudnessRangeLu(), 1);
      number(html, channel.maxMomentaryLufs(), 1);
      number(html, channel.maxShortTermLufs(), 1);
      number(html, channel.noiseFloorDbfs(), 1);
      number(html, channel.dcOffset() == null ? null : channel.dcOffset() * 100, 3);
      html.append("</tr>");
    }
    html.append("</tbody></table></div>\n");
  }

  private static boolean isMeasured(ChannelReport channel) {
    return channel.peakDbfs() != null
        && channel.truePeakDbtp() != null
        && channel.rmsDbfs() != null
        && channel.integratedLufs() != null
        && channel.loudnessRangeLu() != null
        && channel.maxMomentaryLufs() != null
        && channel.maxShortTermLufs() != null
        && channel.noiseFloorDbfs() != null
        && channel.dcOffset() != null;
  }

  private static void number(StringBuilder html, @Nullable Double value, int decimals) {
    html.append("<td class=\"n\">")
        .append(MinusSigns.ofNumber(Figures.fixed(value, decimals)))
        .append("</td>");
  }

  private static String title(ChannelReport channel) {
    return channel.index() + 1 + (channel.name().isBlank() ? "" : " " + channel.name());
  }

  private static void channel(
      StringBuilder html,
      SourceReport source,
      ChannelReport channel,
      @Nullable SourcePicture picture) {
    html.append("<h4>Channel ").append(Html.name(title(channel))).append("</h4>\n");
    ClippingReport clipping = channel.clipping();
    double seconds = source.durationSeconds() == null ? 0 : source.durationSeconds();
    if (picture != null && channel.index() < picture.channelCount()) {
      html.append("<figure>")
          .append(
              WaveDrawing.strip(
                  picture,
                  channel.index(),
                  seconds,
                  clipping.spans(),
                  marked(channel),
                  "Waveform of channel " + title(channel)))
          .append("<div class=\"ends\"><span>0:00</span><span>")
          .append(Figures.clock(seconds, 0))
          .append("</span></div>");
      caption(html, channel);
      html.append("</figure>\n");
    }
    if (clipping.clipped()) {
      paragraph(html, Sentences.clippingSentence(clipping) + spans(clipping.spans()));
    }
    overload(html, channel);
    for (FindingReport finding : channel.findings()) {
      html.append("<p>")
          .append(PageIcons.badge(finding.severity()))
          .append(" ")
          .append(Html.text(Figures.tied(finding.says())))
          .append(Html.text(spans(finding.spans())))
          .append(
              finding.remedy().isBlank()
                  ? ""
                  : " What to do: " + Html.text(Figures.tied(finding.remedy())))
          .append("</p>\n");
    }
    if (!clipping.clipped()
        && channel.findings().isEmpty()
        && channel.overload().verdict() == OverloadReport.Verdict.NONE) {
      html.append("<p class=\"soft\">Nothing to report.</p>\n");
    }
  }

  /** Findings with stretches of their own; clipped ones are marked along the top already. */
  private static List<FindingReport> marked(ChannelReport channel) {
    return channel.findings().stream()
        .filter(finding -> !finding.spans().isEmpty() && !finding.code().equals("clipping"))
        .limit(WaveDrawing.MOST_ROWS)
        .toList();
  }

  private static void caption(StringBuilder html, ChannelReport channel) {
    List<FindingReport> rows = marked(channel);
    boolean clipped = !channel.clipping().spans().isEmpty();
    if (!clipped && rows.isEmpty()) {
      return;
    }
    html.append("<figcaption>");
    if (clipped) {
      html.append("Marks along the top: clipped stretches.");
    }
    if (!rows.isEmpty()) {
      html.append(clipped ? " " : "")
          .append("Rows of marks along the bottom, from the lowest up: ");
      for (int i = 0; i < rows.size(); i++) {
        html.append(i == 0 ? "" : ", ")
            .append(Html.text(rows.get(i).code()))
            .append(" (")
            .append(rows.get(i).severity().word())
            .append(")");
      }
      html.append(".");
    }
    html.append("</figcaption>");
  }

  private static void overload(StringBuilder html, ChannelReport channel) {
    OverloadReport overload = channel.overload();
    if (overload.verdict() == OverloadReport.Verdict.NONE) {
      return;
    }
    if (channel.findings().stream().noneMatch(FirstLooks::tellsOfClipping)) {
      paragraph(html, Sentences.overloadSentence(overload));
    }
    Double pad = overload.padDb();
    if (pad != null && overload.verdict() == OverloadReport.Verdict.LINE_LEVEL) {
      paragraph(
          html,
          "The sum, for a console at its usual line level: "
              + PadSums.sentence(PadSums.LINE_LEVEL_DBU, pad));
    }
  }

  private static String spans(List<SpanReport> spans) {
    if (spans.isEmpty()) {
      return "";
    }
    StringBuilder text = new StringBuilder(" At ");
    for (int i = 0; i < Math.min(MOST_SPANS, spans.size()); i++) {
      SpanReport span = spans.get(i);
      text.append(i == 0 ? "" : ", ")
          .append(Figures.clock(span.startSeconds(), 2))
          .append(" to ")
          .append(Figures.clock(span.endSeconds(), 2));
    }
    if (spans.size() > MOST_SPANS) {
      text.append(", and ").append(spans.size() - MOST_SPANS).append(" more");
    }
    return text.append('.').toString();
  }

  private static void paragraph(StringBuilder html, String text) {
    html.append("<p>").append(Html.text(Figures.tied(text))).append("</p>\n");
  }
}
