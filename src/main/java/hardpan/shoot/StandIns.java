package hardpan.shoot;

import hardpan.base.Span;
import hardpan.lanes.LanePlanner;
import hardpan.lineup.Placement;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.PairVerdict;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Finds what can stand in for a channel where it is cut off: the other side of the same clip if it
 * holds the same signal, the channel of the reference that the clip was lined up with, and other
 * sources that were lined up with that channel. A copy counts where it runs and no fault was found
 * on it: not cut off, not broken off.
 */
final class StandIns {
  private final Shoot shoot;

  StandIns(Shoot shoot) {
    this.shoot = shoot;
  }

  /**
   * What can stand in for one cut passage.
   *
   * @param span the passage, in frames of the damaged source
   * @param copies the copies without a fault there, as the report names them, the nearest first;
   *     empty for none
   */
  record StandIn(Span span, List<String> copies) {}

  /** A channel that holds the same sound, and where its second 0 lies on the reference's clock. */
  private record Copy(ShootSource source, int channel, double startSeconds, double ratio) {}

  /**
   * Stand-ins passage by passage.
   *
   * @param source the damaged source
   * @param channel its channel
   * @return one for each span of the channel's clipping, in order of time
   */
  List<StandIn> of(ShootSource source, int channel) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      return List.of();
    }
    List<Span> spans = analysis.verdicts().channels().get(channel).clipping().spans();
    int rateHz = analysis.facts().rateHz();
    Copy own = ownPlace(source, channel);
    List<Copy> copies = copies(own, referenceChannel(source, channel));
    List<StandIn> result = new ArrayList<>();
    for (Span span : spans) {
      double from = own.startSeconds + own.ratio * span.startFrame() / rateHz;
      double to = own.startSeconds + own.ratio * span.endFrame() / rateHz;
      List<String> clean = new ArrayList<>();
      for (Copy copy : copies) {
        if (isClean(copy, from, to)) {
          clean.add(name(copy));
        }
      }
      result.add(new StandIn(span, clean));
    }
    return result;
  }

  /** Neighbouring passages with the same copies as one, for the report's evidence. */
  static List<Map<String, Object>> evidence(List<StandIn> standIns, int rateHz) {
    List<Map<String, Object>> lines = new ArrayList<>();
    for (int i = 0; i < standIns.size(); ) {
      int end = i + 1;
      while (end < standIns.size() && standIns.get(end).copies.equals(standIns.get(i).copies)) {
        end++;
      }
      Map<String, Object> line = new LinkedHashMap<>();
      line.put("startSeconds", (double) standIns.get(i).span.startFrame() / rateHz);
      line.put("endSeconds", (double) standIns.get(end - 1).span.endFrame() / rateHz);
      line.put("passages", end - i);
      line.put("cleanCopies", standIns.get(i).copies);
      lines.add(line);
      i = end;
    }
    return lines;
  }

  /** What to take instead, one sentence with a space at the end. */
  static String sentence(List<StandIn> standIns) {
    Map<String, Integer> counts = new LinkedHashMap<>();
    int without = 0;
    for (StandIn standIn : standIns) {
      standIn.copies.forEach(copy -> counts.merge(copy, 1, Integer::sum));
      without += standIn.copies.isEmpty() ? 1 : 0;
    }
    if (counts.isEmpty()) {
      return "No other source is known to hold it whole. ";
    }
    for (Map.Entry<String, Integer> copy : counts.entrySet()) {
      if (copy.getValue() == standIns.size()) {
        return "Take "
            + copy.getKey()
            + " instead: it holds the same sound, and no fault was found there. ";
      }
    }
    List<String> shares = new ArrayList<>();
    counts.forEach((copy, count) -> shares.add(copy + " for " + count));
    return "Of "
        + standIns.size()
        + " cut passages, take instead "
        + String.join(", ", shares)
        + (without == 0 ? ". " : "; for " + without + " none is known. ");
  }

  private Copy ownPlace(ShootSource source, int channel) {
    Placement placement = source.placement();
    Double offset = placement == null ? null : placement.offsetSeconds();
    if (placement != null && placement.state() == Placement.State.PLACED && offset != null) {
      return new Copy(source, channel, offset, ratio(placement));
    }
    return new Copy(source, channel, partStartSeconds(source), 1);
  }

  private static double ratio(Placement placement) {
    Double drift = placement.driftPpm();
    return 1 + (drift == null ? 0 : drift) * 1e-6;
  }

  /** The channel of the reference that carries the same sound; null if none is known to. */
  private @Nullable Integer referenceChannel(ShootSource source, int channel) {
    if (isReference(source)) {
      return firstChannel(source) + channel;
    }
    Placement placement = source.placement();
    Analysis analysis = source.analysis();
    return placement != null
            && analysis != null
            && placement.state() == Placement.State.PLACED
            && placement.via().isEmpty()
            && hearsTheSame(analysis, placement, channel)
        ? placement.referenceChannel()
        : null;
  }

  private boolean isReference(ShootSource source) {
    return shoot
        .reference()
        .map(reference -> shoot.runOf(reference).paths().contains(source.path()))
        .orElse(false);
  }

  private List<Copy> copies(Copy own, @Nullable Integer referenceChannel) {
    Set<Copy> copies = new LinkedHashSet<>();
    Analysis analysis = own.source.analysis();
    if (analysis != null && isTwins(analysis)) {
      copies.add(new Copy(own.source, 1 - own.channel, own.startSeconds, own.ratio));
    }
    if (referenceChannel == null) {
      return List.copyOf(copies);
    }
    for (ShootSource source : shoot.sources()) {
      Analysis other = source.analysis();
      if (other == null || source.path().equals(own.source.path())) {
        continue;
      }
      int channel;
      if (isReference(source)) {
        channel = referenceChannel - firstChannel(source);
      } else {
        Placement placement = source.placement();
        Integer measured = placement == null ? null : placement.channel();
        boolean same =
            placement != null
                && placement.state() == Placement.State.PLACED
                && placement.via().isEmpty()
                && referenceChannel.equals(placement.referenceChannel());
        channel = same && measured != null ? measured : -1;
      }
      if (channel >= 0 && channel < other.facts().channelCount()) {
        Copy place = ownPlace(source, channel);
        copies.add(place);
        if (isTwins(other) && !isReference(source)) {
          copies.add(new Copy(source, 1 - channel, place.startSeconds, place.ratio));
        }
      }
    }
    return List.copyOf(copies);
  }

  /** Whether a copy runs through a passage of the reference's clock without a fault. */
  private static boolean isClean(Copy copy, double fromSeconds, double toSeconds) {
    Analysis analysis = copy.source.analysis();
    if (analysis == null) {
      return false;
    }
    double from = (fromSeconds - copy.startSeconds) / copy.ratio;
    double to = (toSeconds - copy.startSeconds) / copy.ratio;
    ChannelVerdict verdict = analysis.verdicts().channels().get(copy.channel);
    if (from < 0 || to > analysis.durationSeconds() || verdict.silent()) {
      return false;
    }
    double rateHz = analysis.facts().rateHz();
    return verdict.findings().stream()
            .filter(finding -> finding.severity() == Finding.Severity.FAULT)
            .noneMatch(finding -> isIn(finding.spans(), from * rateHz, to * rateHz))
        && !isIn(verdict.clipping().spans(), from * rateHz, to * rateHz);
  }

  /** Whether one of the spans, which are in order, lies within a stretch, all in frames. */
  private static boolean isIn(List<Span> spans, double from, double to) {
    int low = 0;
    int high = spans.size();
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (spans.get(middle).endFrame() <= from) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low < spans.size() && spans.get(low).startFrame() < to;
  }

  private static String name(Copy copy) {
    Analysis analysis = copy.source.analysis();
    String channel =
        analysis == null ? "" : LanePlanner.channelName(analysis.facts(), copy.channel);
    return copy.source.path() + " (" + channel + ")";
  }

  /** Where a file of a run begins within it; 0 for a source that stands alone. */
  private double partStartSeconds(ShootSource source) {
    Analysis analysis = source.analysis();
    Run run = shoot.runOf(source);
    return analysis == null || !run.isJoined()
        ? 0
        : (double) run.parts().get(run.partOf(source.path())).startFrame()
            / analysis.facts().rateHz();
  }

  /** The run's first channel that a source has. */
  private int firstChannel(ShootSource source) {
    Run run = shoot.runOf(source);
    int channel = 0;
    for (String path : run.parts().get(run.partOf(source.path())).paths()) {
      if (path.equals(source.path())) {
        break;
      }
      Analysis before = shoot.source(path).analysis();
      channel += before == null ? 0 : before.facts().channelCount();
    }
    return channel;
  }

  /** Whether a channel carries the signal that the place was measured with. */
  static boolean hearsTheSame(Analysis analysis, Placement placement, int channel) {
    Integer measured = placement.channel();
    return (measured != null && measured == channel) || isTwins(analysis);
  }

  private static boolean isTwins(Analysis analysis) {
    PairVerdict pair = analysis.verdicts().pair();
    return pair != null
        && !pair.changes()
        && switch (pair.relation()) {
          case SAME_SIGNAL, INVERTED, LOWER_COPY -> true;
          default -> false;
        };
  }
}
