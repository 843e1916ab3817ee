package hardpan.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * A hand-over as an OpenTimelineIO timeline: the clips' pictures as one video track a device, the
 * lanes as audio tracks, all where they sit on the reference's clock, and a marker for every
 * finding.
 *
 * <p>The timeline begins at the last full second before anything sounds, so that places in samples
 * are whole numbers at every sample rate. Lanes count in samples, pictures in their own frames. A
 * lane's own time is its time stamp since midnight, as in its file.
 */
public final class Timeline {
  /** More markers on one clip help nobody; the report has them all. */
  private static final int MOST_MARKERS = 1000;

  /** What overlaps by more is no matter of clocks and goes onto a further track. */
  private static final double MOST_TRIMMED_SECONDS = 0.25;

  private final Report report;
  private final Map<String, Original> originals;
  private final long beginSeconds;

  private Timeline(Report report, Map<String, Original> originals) {
    this.report = report;
    this.originals = originals;
    double earliest = 0;
    for (SourceReport source : report.sources()) {
      Double offset = offsetSeconds(source);
      earliest = offset == null ? earliest : Math.min(earliest, offset);
    }
    for (LaneReport lane : report.lanes()) {
      Long start = lane.startFrameOnReference();
      earliest = start == null ? earliest : Math.min(earliest, seconds(start, lane));
    }
    this.beginSeconds = (long) Math.floor(earliest);
  }

  private static double seconds(long frames, LaneReport lane) {
    return (double) frames / lane.sampleRateHz();
  }

  /**
   * The text of {@code timeline.otio}, ending with a line feed.
   *
   * @param report what was found and written
   * @param name the shoot's name
   * @param originals the original files by their path in the report; what is not there, or has no
   *     picture, gets none on the timeline
   * @return empty if nothing was lined up: without a common clock there is no timeline
   */
  public static Optional<String> otio(Report report, String name, Map<String, Original> originals) {
    return report.reference() == null
        ? Optional.empty()
        : Optional.of(ReportJson.plainText(new Timeline(report, originals).whole(name)));
  }

  private Map<String, @Nullable Object> whole(String name) {
    List<Map<String, @Nullable Object>> tracks = new ArrayList<>();
    pictures().values().forEach(track -> tracks.addAll(track.tracks()));
    sound().values().forEach(track -> tracks.addAll(track.tracks()));
    Map<String, @Nullable Object> about = new LinkedHashMap<>();
    about.put("madeBy", report.madeBy());
    about.put("reference", report.reference());
    about.put("beginsAtReferenceSeconds", (double) beginSeconds);
    about.put(
        "notOnTheTimeline",
        report.sources().stream()
            .filter(source -> offsetSeconds(source) == null)
            .map(SourceReport::path)
            .toList());
    return Otio.timeline(name, globalStart(), tracks, about);
  }

  /** Where on the lanes' clock the timeline begins; null if that would be before midnight. */
  private @Nullable Map<String, @Nullable Object> globalStart() {
    for (LaneReport lane : report.lanes()) {
      Long stamp = lane.timeReferenceSamples();
      Long start = lane.startFrameOnReference();
      if (stamp != null && start != null) {
        long begin = stamp - start + beginSeconds * lane.sampleRateHz();
        return begin < 0 ? null : Otio.time((double) begin, lane.sampleRateHz());
      }
    }
    return null;
  }

  /** Reference seconds at a source's first sample; null if it has no place or cannot be read. */
  private @Nullable Double offsetSeconds(SourceReport source) {
    if (source.error() != null || source.durationSeconds() == null) {
      return null;
    }
    if (source.path().equals(report.reference())) {
      return 0.0;
    }
    PlacementReport placement = source.placement();
    return placement != null && placement.state() == PlacementReport.State.PLACED
        ? placement.offsetSeconds()
        : null;
  }

  private Map<String, OtioTracks> pictures() {
    Map<String, OtioTracks> tracks = new LinkedHashMap<>();
    List<SourceReport> clips = new ArrayList<>();
    for (SourceReport source : report.sources()) {
      if (source.kind() == SourceReport.Kind.CLIP
          && offsetSeconds(source) != null
          && hasPicture(source)) {
        clips.add(source);
        String device = deviceOf(source);
        tracks.computeIfAbsent(device, name -> new OtioTracks(name, "Video"));
      }
    }
    clips.sort(Comparator.comparing(this::offsetSeconds, Comparator.nullsLast(Double::compare)));
    for (int i = 0; i < clips.size(); i++) {
      SourceReport clip = clips.get(i);
      Original original = originals.get(clip.path());
      OtioTracks track = tracks.get(deviceOf(clip));
      if (original != null && track != null) {
        addPicture(clip, original, secondsToNext(clips, i), track);
      }
    }
    return tracks;
  }

  /** From a clip's start to that of the next one of its device; infinite for the last. */
  private double secondsToNext(List<SourceReport> clips, int index) {
    SourceReport clip = clips.get(index);
    Double start = offsetSeconds(clip);
    for (SourceReport next : clips.subList(index + 1, clips.size())) {
      Double nextStart = offsetSeconds(next);
      if (start != null && nextStart != null && deviceOf(next).equals(deviceOf(clip))) {
        return nextStart - start;
      }
    }
    return Double.POSITIVE_INFINITY;
  }

  private boolean hasPicture(SourceReport source) {
    Original original = originals.get(source.path());
    return original != null && original.hasPicture();
  }

  private static String deviceOf(SourceReport source) {
    return source.device() == null ? source.path() : source.device();
  }

  private void addPicture(
      SourceReport source, Original original, double secondsToNext, OtioTracks track) {
    Double offset = offsetSeconds(source);
    Integer rateHz = source.sampleRateHz();
    Long frames = source.frameCount();
    if (offset == null || rateHz == null || frames == null) {
      return;
    }
    Double pictures = original.picturesPerSecond();
    double lengthRate = pictures == null ? rateHz : pictures;
    double length =
        pictures == null
            ? frames
            : Math.max(1, Math.floor((double) frames / rateHz * pictures + 1e-6));
    // On the reference's clock a fast camera's parts overlap a little; the cut is at the next one.
    double over = length / lengthRate - secondsToNext;
    boolean touches = over > 0 && over < MOST_TRIMMED_SECONDS;
    double used = touches ? Math.floor(secondsToNext * lengthRate + 1e-6) : length;
    Map<String, @Nullable Object> about = new LinkedHashMap<>();
    about.put("path", source.path());
    about.put("run", source.run());
    about.put("picturesPerSecond", pictures);
    if (pictures == null) {
      about.put("note", "The picture's frame rate is not known; ranges count samples.");
    }
    about.put("startTimecode", original.startTimecode());
    PlacementReport placement = source.placement();
    about.put("offsetSeconds", offset);
    about.put("driftPpm", placement == null ? null : placement.driftPpm());
    track.add(
        Otio.clip(
            fileName(source.path()),
            original.url(),
            Otio.range(0, length, lengthRate),
            Otio.range(0, used, lengthRate),
            List.of(),
            about),
        Math.rint((offset - beginSeconds) * rateHz),
        rateHz,
        used,
        lengthRate);
  }

  private static String fileName(String path) {
    return path.substring(path.lastIndexOf('/') + 1);
  }

  /** One track for each lane name of a device. */
  private Map<String, OtioTracks> sound() {
    Map<String, OtioTracks> tracks = new LinkedHashMap<>();
    List<LaneReport> lanes = new ArrayList<>();
    for (LaneReport lane : report.lanes()) {
      if (lane.startFrameOnReference() != null && lane.timeReferenceSamples() != null) {
        lanes.add(lane);
        tracks.computeIfAbsent(trackOf(lane), name -> new OtioTracks(name, "Audio"));
      }
    }
    lanes.sort(
        Comparator.comparingDouble(
            lane -> {
              Long start = lane.startFrameOnReference();
              return start == null ? 0 : seconds(start, lane);
            }));
    for (LaneReport lane : lanes) {
      OtioTracks track = tracks.get(trackOf(lane));
      if (track != null) {
        addLane(lane, track);
      }
    }
    return tracks;
  }

  private String trackOf(LaneReport lane) {
    List<SourceReport> parts = LaneFindings.parts(report, lane);
    return parts.isEmpty() ? lane.name() : deviceOf(parts.get(0)) + " " + lane.name();
  }

  private void addLane(LaneReport lane, OtioTracks track) {
    Long start = lane.startFrameOnReference();
    Long stamp = lane.timeReferenceSamples();
    if (start == null || stamp == null) {
      return;
    }
    int rateHz = lane.sampleRateHz();
    List<Map<String, @Nullable Object>> markers = new ArrayList<>();
    for (LaneFindings.Mark mark : LaneFindings.of(report, lane)) {
      if (markers.size() < MOST_MARKERS) {
        FindingReport finding = mark.finding();
        markers.add(
            Otio.marker(
                finding.code(),
                colour(finding.severity()),
                Otio.range(
                    (double) (stamp + mark.startFrame()), (double) mark.frameCount(), rateHz),
                finding.says()));
      }
    }
    Map<String, @Nullable Object> range =
        Otio.range((double) stamp, (double) lane.frameCount(), rateHz);
    Map<String, @Nullable Object> fileRange =
        Otio.range(
            (double) (stamp - lane.fileStartFrame()), (double) lane.fileFrameCount(), rateHz);
    Map<String, @Nullable Object> about = new LinkedHashMap<>();
    about.put("source", lane.source());
    about.put("role", lane.role());
    about.put("clockCorrected", lane.clockCorrected());
    LaneReport.Bend bend = lane.clockBend();
    if (bend != null) {
      about.put("clockBend", bend.word());
    }
    about.put("fileChannel", lane.fileChannel());
    track.add(
        Otio.clip(
            fileName(lane.file()), RelativeUrl.of(lane.file()), fileRange, range, markers, about),
        (double) (start - beginSeconds * rateHz),
        rateHz,
        (double) lane.frameCount(),
        rateHz);
  }

  /** Colour words of the format; the marker's name says the same. */
  private static String colour(FindingReport.Severity severity) {
    return switch (severity) {
      case FAULT -> "RED";
      case WARNING -> "ORANGE";
      case NOTE -> "BLUE";
    };
  }
}
