package hardpan.report;

import hardpan.base.SourceClock;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Objects;

/** The findings of a lane's channels in the lane's own frames. */
final class LaneFindings {
  private LaneFindings() {}

  /**
   * A finding where a lane has it.
   *
   * @param finding what it is
   * @param startFrame first frame, from the lane's first
   * @param frameCount length in frames, at least 1
   */
  record Mark(FindingReport finding, long startFrame, long frameCount) {}

  /** The files a lane was made of: one, or the parts of a run in their order. */
  static List<SourceReport> parts(Report report, LaneReport lane) {
    List<SourceReport> parts = new ArrayList<>();
    for (SourceReport source : report.sources()) {
      if (source.path().equals(lane.source())) {
        return List.of(source);
      }
      if (lane.source().equals(source.run())) {
        parts.add(source);
      }
    }
    parts.sort(Comparator.comparing(SourceReport::runPart, Comparator.nullsLast(Integer::compare)));
    return parts;
  }

  /** In the order of time; a finding without spans covers the whole of its file. */
  static List<Mark> of(Report report, LaneReport lane) {
    List<Mark> marks = new ArrayList<>();
    double before = 0;
    double longest = 0;
    int channelsBefore = 0;
    Integer runPart = null;
    for (SourceReport part : parts(report, lane)) {
      if (!Objects.equals(part.runPart(), runPart)) {
        before += longest;
        longest = 0;
        channelsBefore = 0;
        runPart = part.runPart();
      }
      // Files of one part lie side by side; their channels count on.
      for (ChannelReport channel : part.channels()) {
        if (lane.channels().contains(channelsBefore + channel.index())) {
          for (FindingReport finding : channel.findings()) {
            addMarks(part, lane, finding, before, marks);
          }
        }
      }
      channelsBefore += part.channels().size();
      longest = Math.max(longest, seconds(part));
    }
    marks.sort(Comparator.comparingLong(Mark::startFrame));
    return marks;
  }

  private static double seconds(SourceReport part) {
    Double duration = part.durationSeconds();
    return duration == null ? 0 : duration;
  }

  private static void addMarks(
      SourceReport part, LaneReport lane, FindingReport finding, double before, List<Mark> marks) {
    List<SpanReport> spans =
        finding.spans().isEmpty() ? List.of(new SpanReport(0, seconds(part))) : finding.spans();
    for (SpanReport span : spans) {
      long start = Math.max(0, laneFrame(part, lane, before, span.startSeconds()));
      long end = Math.min(lane.frameCount(), laneFrame(part, lane, before, span.endSeconds()));
      if (end > start) {
        marks.add(new Mark(finding, start, end - start));
      }
    }
  }

  /**
   * A corrected lane starts on the reference's grid and runs on its clock; another has its files'
   * own frames one after the other.
   */
  private static long laneFrame(SourceReport part, LaneReport lane, double before, double seconds) {
    PlacementReport placement = part.placement();
    SourceClock clock = placement == null ? null : placement.clock();
    Long start = lane.startFrameOnReference();
    if (!lane.clockCorrected() || clock == null || start == null) {
      return Math.round((before + seconds) * lane.sampleRateHz());
    }
    return Math.round(clock.referenceSeconds(seconds) * lane.sampleRateHz()) - start;
  }
}
