package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.FindingReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.shoot.LaneList;
import hardpan.shoot.Run;
import hardpan.shoot.Shoot;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** The faults that a lane brings along from its source, and what can be taken instead. */
final class LaneDamage {
  private LaneDamage() {}

  /**
   * In a few words each, {@code tops cut off: take REC/a.wav (mono)}; empty if no fault was found.
   * An opposite polarity is none: the lane is written the right way round.
   */
  static List<String> of(Shoot shoot, Report report, LaneList.Row lane) {
    Set<String> words = new LinkedHashSet<>();
    shoot.allRuns().stream()
        .filter(run -> run.laneSource().equals(lane.source()))
        .flatMap(run -> run.parts().stream())
        .forEach(part -> ofPart(part, report, lane, words));
    return List.copyOf(words);
  }

  /** The files of a part lie side by side: their channels are counted through. */
  private static void ofPart(Run.Part part, Report report, LaneList.Row lane, Set<String> words) {
    int first = 0;
    for (String path : part.paths()) {
      SourceReport source = report.source(path).orElse(null);
      List<ChannelReport> channels = source == null ? List.of() : source.channels();
      for (ChannelReport channel : channels) {
        if (lane.channels().contains(first + channel.index())) {
          channel.findings().stream()
              .filter(finding -> finding.severity() == FindingReport.Severity.FAULT)
              .forEach(finding -> words.add(said(finding)));
        }
      }
      first += channels.size();
    }
  }

  /** A finding in a few words, and what to take instead where that is known. */
  static String said(FindingReport finding) {
    String fault = FindingWords.of(finding.code());
    List<Set<String>> copies = copies(finding.evidence().get("standIns"));
    if (copies.isEmpty()) {
      return fault;
    }
    Set<String> throughout = new LinkedHashSet<>(copies.get(0));
    copies.forEach(throughout::retainAll);
    if (!throughout.isEmpty()) {
      return Texts.of("lane.damage.copy", fault, throughout.iterator().next());
    }
    return copies.stream().allMatch(Set::isEmpty) ? fault : Texts.of("lane.damage.copies", fault);
  }

  /** The copies of every stretch that is damaged. */
  private static List<Set<String>> copies(@Nullable Object standIns) {
    List<Set<String>> copies = new ArrayList<>();
    if (standIns instanceof List<?> stretches) {
      for (Object stretch : stretches) {
        Set<String> names = new LinkedHashSet<>();
        if (stretch instanceof Map<?, ?> map && map.get("cleanCopies") instanceof List<?> list) {
          list.forEach(name -> names.add(String.valueOf(name)));
        }
        copies.add(names);
      }
    }
    return copies;
  }
}
