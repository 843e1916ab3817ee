package hardpan.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The objects of an OpenTimelineIO file as maps ready for JSON, each with the keys that the
 * library's own readers ask for and those they know. Schema versions: those that every release from
 * 0.15.0 to 0.18 reads (OpenTimelineIO, {@code CORE_VERSION_MAP.cpp}).
 */
final class Otio {
  /** The one private key in {@code metadata}, as the format's documentation advises. */
  private static final String OURS = "hardpan";

  private static final String MEDIA = "DEFAULT_MEDIA";

  private Otio() {}

  private static Map<String, @Nullable Object> object(String schema) {
    Map<String, @Nullable Object> object = new LinkedHashMap<>();
    object.put("OTIO_SCHEMA", schema);
    return object;
  }

  /** A time: {@code value / rate} seconds. */
  static Map<String, @Nullable Object> time(double value, double rate) {
    Map<String, @Nullable Object> time = object("RationalTime.1");
    time.put("rate", rate);
    time.put("value", value);
    return time;
  }

  /** A stretch of time. */
  static Map<String, @Nullable Object> range(double start, double length, double rate) {
    Map<String, @Nullable Object> range = object("TimeRange.1");
    range.put("start_time", time(start, rate));
    range.put("duration", time(length, rate));
    return range;
  }

  private static Map<String, @Nullable Object> item(
      String schema,
      String name,
      @Nullable Map<String, @Nullable Object> sourceRange,
      List<Map<String, @Nullable Object>> markers,
      Map<String, @Nullable Object> about) {
    Map<String, @Nullable Object> item = object(schema);
    item.put("name", name);
    item.put("metadata", metadata(about));
    item.put("source_range", sourceRange);
    item.put("effects", List.of());
    item.put("markers", markers);
    item.put("enabled", true);
    return item;
  }

  private static Map<String, @Nullable Object> metadata(Map<String, @Nullable Object> about) {
    Map<String, @Nullable Object> metadata = new LinkedHashMap<>();
    if (!about.isEmpty()) {
      metadata.put(OURS, about);
    }
    return metadata;
  }

  /** The whole. */
  static Map<String, @Nullable Object> timeline(
      String name,
      @Nullable Map<String, @Nullable Object> globalStart,
      List<Map<String, @Nullable Object>> tracks,
      Map<String, @Nullable Object> about) {
    Map<String, @Nullable Object> stack = item("Stack.1", "tracks", null, List.of(), Map.of());
    stack.put("children", tracks);
    Map<String, @Nullable Object> timeline = object("Timeline.1");
    timeline.put("name", name);
    timeline.put("metadata", metadata(about));
    timeline.put("global_start_time", globalStart);
    timeline.put("tracks", stack);
    return timeline;
  }

  /** A track; {@code kind} is {@code Video} or {@code Audio}. */
  static Map<String, @Nullable Object> track(
      String name, String kind, List<Map<String, @Nullable Object>> children) {
    Map<String, @Nullable Object> track = item("Track.1", name, null, List.of(), Map.of());
    track.put("kind", kind);
    track.put("children", new ArrayList<>(children));
    return track;
  }

  /** Nothing for a while; moves what follows later. */
  static Map<String, @Nullable Object> gap(double length, double rate) {
    return item("Gap.1", "", range(0, length, rate), List.of(), Map.of());
  }

  /** A file: what of it there is, and what is used. */
  static Map<String, @Nullable Object> clip(
      String name,
      String url,
      Map<String, @Nullable Object> available,
      Map<String, @Nullable Object> used,
      List<Map<String, @Nullable Object>> markers,
      Map<String, @Nullable Object> about) {
    Map<String, @Nullable Object> media = object("ExternalReference.1");
    media.put("name", "");
    media.put("metadata", metadata(Map.of()));
    media.put("available_range", available);
    media.put("available_image_bounds", null);
    media.put("target_url", url);
    Map<String, @Nullable Object> references = new LinkedHashMap<>();
    references.put(MEDIA, media);
    Map<String, @Nullable Object> clip = item("Clip.2", name, used, markers, about);
    clip.put("media_references", references);
    clip.put("active_media_reference_key", MEDIA);
    return clip;
  }

  /** A marked stretch of a clip, in the clip's own time. */
  static Map<String, @Nullable Object> marker(
      String name, String colour, Map<String, @Nullable Object> range, String comment) {
    Map<String, @Nullable Object> marker = object("Marker.2");
    marker.put("name", name);
    marker.put("metadata", metadata(Map.of()));
    marker.put("marked_range", range);
    marker.put("color", colour);
    marker.put("comment", comment);
    return marker;
  }
}
