package hardpan.verdict;

import hardpan.base.Span;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Says that the two sides relate differently in different parts of a clip. */
final class PairChange {
  /** More parts than this are counted, not listed. */
  private static final int MOST_LISTED = 8;

  private PairChange() {}

  static Finding finding(PairVerdict pair, int rateHz) {
    List<PairVerdict.Section> sections = pair.sections();
    Map<String, Object> evidence = new LinkedHashMap<>();
    List<String> listed = new ArrayList<>();
    List<Span> changes = new ArrayList<>();
    for (int i = 0; i < sections.size(); i++) {
      PairVerdict.Section section = sections.get(i);
      double from = (double) section.span().startFrame() / rateHz;
      String words = String.format(Locale.ROOT, "%s from %.1f s", words(section.relation()), from);
      if (i < MOST_LISTED) {
        evidence.put("section" + (i + 1), words);
        listed.add(words);
      }
      if (i > 0) {
        changes.add(section.span());
      }
    }
    evidence.put("sections", sections.size());
    String more = sections.size() > MOST_LISTED ? " and so on" : "";
    return new Finding(
        "pair-changes",
        Finding.Severity.WARNING,
        changes,
        evidence,
        "Left and right do not relate alike throughout: " + String.join(", ", listed) + more + ".",
        "A plug was pulled, pushed in or changed: treat the parts as separate takes, and listen"
            + " around each change for a loud pop before you turn up headphones.");
  }

  private static String words(PairVerdict.Relation relation) {
    return switch (relation) {
      case ISOLATED -> "two separate signals";
      case SAME_SIGNAL -> "the same signal on both";
      case INVERTED -> "the same signal, one side with opposite polarity";
      case LOWER_COPY -> "one side a lower copy";
      case STEREO -> "a stereo pair";
      case ONE_SILENT -> "one side without sound";
      case BOTH_SILENT -> "no sound on either";
      case UNKNOWN -> "not clear";
    };
  }
}
