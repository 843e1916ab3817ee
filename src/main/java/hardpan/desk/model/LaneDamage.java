package hardpan.desk.model;

import hardpan.report.ChannelReport;
import hardpan.report.FindingReport;
import hardpan.report.PlacementReport;
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

/**
 * What a lane brings along from its source.
 *
 * @param faults faults in a few words each with what can be taken instead, {@code tops cut off:
 *     take REC/a.wav (mono)}; an opposite polarity is none: the lane is written the right way round
 * @param kinds the same faults without what can be taken instead
 * @param warnings what else should be listened to first, in a few words each
 * @param place what is to be said of a place that a person gave; empty if none did
 * @param doubtful whether its sound gainsays that place
 */
record LaneDamage(
    Set<String> faults, Set<String> kinds, Set<String> warnings, String place, boolean doubtful) {
  /** Nothing. */
  static final LaneDamage NONE = new LaneDamage(Set.of(), Set.of(), Set.of(), "", false);

  /** From the findings on its channels and the places of its source's files. */
  static LaneDamage of(Shoot shoot, Report report, LaneList.Row lane) {
    Gathered all = new Gathered(report, lane);
    shoot.allRuns().stream()
        .filter(run -> run.laneSource().equals(lane.source()))
        .flatMap(run -> run.parts().stream())
        .forEach(all::ofPart);
    return new LaneDamage(all.faults, all.kinds, all.warnings, all.place, all.doubtful);
  }

  private static final class Gathered {
    private final Report report;
    private final LaneList.Row lane;
    private final Set<String> faults = new LinkedHashSet<>();
    private final Set<String> kinds = new LinkedHashSet<>();
    private final Set<String> warnings = new LinkedHashSet<>();
    private String place = "";
    private boolean doubtful;

    Gathered(Report report, LaneList.Row lane) {
      this.report = report;
      this.lane = lane;
    }

    /** The files of a part lie side by side: their channels are counted through. */
    private void ofPart(Run.Part part) {
      int first = 0;
      for (String path : part.paths()) {
        SourceReport source = report.source(path).orElse(null);
        List<ChannelReport> channels = source == null ? List.of() : source.channels();
        for (ChannelReport channel : channels) {
          if (lane.channels().contains(first + channel.index())) {
            channel.findings().forEach(this::found);
          }
        }
        PlacementReport placement = source == null ? null : source.placement();
        if (placement != null) {
          placed(placement);
        }
        first += channels.size();
      }
    }

    private void found(FindingReport finding) {
      switch (finding.severity()) {
        case FAULT -> {
          faults.add(said(finding));
          kinds.add(FindingWords.of(finding.code()));
        }
        case WARNING -> warnings.add(FindingWords.of(finding.code()));
        case NOTE -> {}
      }
    }

    /** The files of a run move together: the first one speaks for all. */
    private void placed(PlacementReport placement) {
      Double at = placement.offsetSeconds();
      if (placement.basis() != PlacementReport.Basis.HAND || at == null || !place.isEmpty()) {
        return;
      }
      Double elsewhere = placement.soundElsewhereSeconds();
      doubtful = elsewhere != null;
      place =
          elsewhere == null
              ? Texts.of("lane.caution.by-hand")
              : Texts.of("lane.caution.elsewhere", Times.clock(at, 3), Times.clock(elsewhere, 3));
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
