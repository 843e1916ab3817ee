package hardpan.lanes;

import hardpan.base.SourceClock;
import hardpan.base.Span;
import hardpan.verdict.Finding;
import hardpan.wave.CuePoint;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * The findings of its lanes' channels as regions of a file, on its own clock. A finding of a whole
 * channel is a region over the whole of the lane's sound.
 */
final class LaneMarkers {
  /** Some readers leave out a chunk with more than 2,500 points (libsndfile, {@code wav.c}). */
  static final int MOST = 1000;

  private final List<CuePoint> kept;
  private final int leftOut;

  private LaneMarkers(List<CuePoint> kept, int leftOut) {
    this.kept = kept;
    this.leftOut = leftOut;
  }

  /** What fits into the file, in the order of time. */
  List<CuePoint> kept() {
    return kept;
  }

  /** How many did not fit; the least severe ones. */
  int leftOut() {
    return leftOut;
  }

  private record Region(long start, long length, Finding finding, String says) {}

  static LaneMarkers of(PlannedFile file) {
    List<Region> regions = new ArrayList<>();
    boolean several = file.channelCount() > 1;
    for (Lane lane : file.lanes()) {
      addLane(lane, several ? lane.name() + ": " : "", regions);
    }
    return of(regions);
  }

  private static void addLane(Lane lane, String whose, List<Region> regions) {
    LaneSource source = lane.source();
    for (int channel : lane.channels()) {
      for (Finding finding : source.verdicts().channels().get(channel).findings()) {
        List<Span> spans =
            finding.spans().isEmpty() ? List.of(new Span(0, source.frameCount())) : finding.spans();
        for (Span span : spans) {
          long start = Math.max(0, laneFrame(lane, span.startFrame()));
          long end = Math.min(lane.expectedFrames(), laneFrame(lane, span.endFrame()));
          if (end > start) {
            regions.add(
                new Region(
                    lane.slot().startFrame() + start,
                    end - start,
                    finding,
                    whose + finding.says()));
          }
        }
      }
    }
  }

  private static LaneMarkers of(List<Region> found) {
    List<Region> regions = found;
    int leftOut = Math.max(0, regions.size() - MOST);
    if (leftOut > 0) {
      regions.sort(Comparator.comparing((Region region) -> region.finding().severity()).reversed());
      regions = regions.subList(0, MOST);
    }
    List<CuePoint> points = new ArrayList<>();
    for (Region region :
        regions.stream().sorted(Comparator.comparingLong(Region::start)).toList()) {
      points.add(
          new CuePoint(
              points.size() + 1L,
              region.start(),
              region.length(),
              region.finding().code(),
              region.says()));
    }
    return new LaneMarkers(points, leftOut);
  }

  /** The lane's frame at a frame of its source. */
  static long laneFrame(Lane lane, long sourceFrame) {
    LaneSource source = lane.source();
    Long first = lane.startFrameOnReference();
    SourceClock clock = source.clock();
    if (!lane.resample() || first == null || clock == null) {
      return sourceFrame;
    }
    double seconds = (double) sourceFrame / source.facts().rateHz();
    return Math.round(clock.referenceSeconds(seconds) * lane.format().rateHz()) - first;
  }
}
