package hardpan.shoot;

import hardpan.base.Span;
import hardpan.media.SourceFacts;
import hardpan.media.SourceReader;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * What the reading itself tells about a source: sound that is missing inside the file or did not
 * decode, a file shorter than it says, a header that is not as it should be. Concerns all channels
 * of a source alike.
 */
final class ReadingFindings {
  /** Lossy codecs may pad their last packet; less than this is not a missing end. */
  private static final double LEAST_MISSING_SECONDS = 0.25;

  private static final int MAX_PLACES = 3;

  private static final String COPY_AGAIN =
      "Copy the file from the card again and compare; use another source for what is missing.";

  private ReadingFindings() {}

  /**
   * The verdicts with the findings of the reading before the others.
   *
   * @param reader the reader after its whole pass
   * @param frameCount frames it gave
   */
  static Verdicts added(Verdicts verdicts, SourceReader reader, long frameCount) {
    List<Finding> found = found(reader, frameCount);
    if (found.isEmpty()) {
      return verdicts;
    }
    List<ChannelVerdict> channels = new ArrayList<>();
    for (ChannelVerdict channel : verdicts.channels()) {
      List<Finding> all = new ArrayList<>(found);
      all.addAll(channel.findings());
      channels.add(channel.withFindings(all));
    }
    return new Verdicts(channels, verdicts.pair());
  }

  private static List<Finding> found(SourceReader reader, long frameCount) {
    SourceFacts facts = reader.facts();
    List<Finding> found = new ArrayList<>();
    double concealed = (double) reader.concealedFrames() / facts.rateHz();
    if (concealed > 0) {
      List<Span> spans = reader.missingSpans();
      found.add(
          finding(
              "missing-sound",
              Finding.Severity.FAULT,
              spans,
              Map.of("missingSeconds", concealed),
              String.format(
                  Locale.ROOT,
                  "%.2f s of sound inside the file are missing or do not decode%s; silence of the same"
                      + " length stands in their place.",
                  concealed,
                  places(spans, facts.rateHz()))));
    }
    Long declared = facts.frameCount();
    double missing = declared == null ? 0 : (double) (declared - frameCount) / facts.rateHz();
    if (declared != null && missing > LEAST_MISSING_SECONDS) {
      found.add(
          finding(
              "cut-short",
              Finding.Severity.FAULT,
              List.of(),
              Map.of("missingSeconds", missing),
              String.format(
                  Locale.ROOT, "The file ends %.2f s before the end that it declares.", missing)));
    }
    for (String oddity : reader.oddities()) {
      found.add(finding("odd-file", Finding.Severity.WARNING, List.of(), Map.of(), oddity));
    }
    return found;
  }

  /** The first places in words, such as " (at 1.20 s for 0.35 s, and at 2 more places)". */
  private static String places(List<Span> spans, int rateHz) {
    if (spans.isEmpty()) {
      return "";
    }
    List<String> words = new ArrayList<>();
    for (Span span : spans.subList(0, Math.min(MAX_PLACES, spans.size()))) {
      words.add(
          String.format(
              Locale.ROOT,
              "at %.2f s for %.2f s",
              (double) span.startFrame() / rateHz,
              (double) span.frames() / rateHz));
    }
    int more = spans.size() - words.size();
    return " ("
        + String.join(", ", words)
        + (more == 0 ? "" : " and at " + more + (more == 1 ? " more place" : " more places"))
        + ")";
  }

  private static Finding finding(
      String code,
      Finding.Severity severity,
      List<Span> spans,
      Map<String, Object> evidence,
      String says) {
    return new Finding(code, severity, spans, evidence, says, COPY_AGAIN);
  }
}
