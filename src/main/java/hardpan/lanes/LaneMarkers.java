package hardpan.lanes;

import hardpan.base.Span;
import hardpan.verdict.Finding;
import hardpan.wave.CuePoint;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * The findings of a lane's channels as regions of its file, on the lane's own clock. A finding of
 * the whole channel is a region over the whole lane.
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

  private record Region(long start, long length, Finding finding) {}

  static LaneMarkers of(Lane lane) {
    LaneSource source = lane.source();
    List<Region> regions = new ArrayList<>();
    for (int channel : lane.channels()) {
      for (Finding finding : source.verdicts().channels().get(channel).findings()) {
        List<Span> spans =
            finding.spans().isEmpty() ? List.of(new Span(0, source.frameCount())) : finding.spans();
        for (Span span : spans) {
          add(lane, finding, span, regions);
        }
      }
    }
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
              region.finding().says()));
    }
    return new LaneMarkers(points, leftOut);
  }

  private static void add(Lane lane, Finding finding, Span span, List<Region> regions) {
    long start = Math.max(0, laneFrame(lane, span.startFrame()));
    long end = Math.min(frames(lane), laneFrame(lane, span.endFrame()));
    if (end > start) {
      regions.add(new Region(start, end - start, finding));
    }
  }

  /** The lane's length as planned. */
  private static long frames(Lane lane) {
    return laneFrame(lane, lane.source().frameCount());
  }

  /** The lane's frame at a frame of its source. */
  static long laneFrame(Lane lane, long sourceFrame) {
    LaneSource source = lane.source();
    Long first = lane.startFrameOnReference();
    Double offset = source.offsetSeconds();
    if (!lane.resample() || first == null || offset == null) {
      return sourceFrame;
    }
    double seconds = (double) sourceFrame / source.facts().rateHz();
    double reference = offset + seconds * (1 + source.driftPpm() * 1e-6);
    return Math.round(reference * lane.format().rateHz()) - first;
  }
}
