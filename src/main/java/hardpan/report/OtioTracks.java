package hardpan.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Clips of one name laid behind one another, with gaps between them. What would overlap goes onto a
 * further track, so that every clip stays where it belongs.
 */
final class OtioTracks {
  /** What lies closer is one moment: a tenth of a sample at 192 kHz. */
  private static final double SAME_MOMENT_SECONDS = 5e-7;

  private final String name;
  private final String kind;
  private final List<Layer> layers = new ArrayList<>();

  /** {@code kind} is {@code Video} or {@code Audio}. */
  OtioTracks(String name, String kind) {
    this.name = name;
    this.kind = kind;
  }

  private static final class Layer {
    private final List<Map<String, @Nullable Object>> children = new ArrayList<>();

    /** Where the last clip ends, as count and rate, so that equal rates stay exact. */
    private double end;

    private double endRate = 1;

    private double endAt(double rate) {
      return rate == endRate ? end : end / endRate * rate;
    }
  }

  /**
   * Adds a clip that starts no earlier than those before it did.
   *
   * @param start where, in units of {@code rate} from the timeline's beginning, at least 0
   * @param rate units a second of {@code start} and of the gap before it
   * @param length the clip's length in units of {@code lengthRate}
   * @param lengthRate units a second of {@code length}
   */
  void add(
      Map<String, @Nullable Object> clip,
      double start,
      double rate,
      double length,
      double lengthRate) {
    Layer layer = layerFreeAt(start, rate);
    double gap = start - layer.endAt(rate);
    if (gap / rate > SAME_MOMENT_SECONDS) {
      layer.children.add(Otio.gap(gap, rate));
    }
    layer.children.add(clip);
    if (rate == lengthRate) {
      layer.end = start + length;
      layer.endRate = rate;
    } else {
      layer.end = start / rate + length / lengthRate;
      layer.endRate = 1;
    }
  }

  private Layer layerFreeAt(double start, double rate) {
    for (Layer layer : layers) {
      if (layer.endAt(rate) - start <= SAME_MOMENT_SECONDS * rate) {
        return layer;
      }
    }
    Layer layer = new Layer();
    layers.add(layer);
    return layer;
  }

  /** The tracks, usually one. */
  List<Map<String, @Nullable Object>> tracks() {
    List<Map<String, @Nullable Object>> tracks = new ArrayList<>();
    for (Layer layer : layers) {
      String number = tracks.isEmpty() ? "" : " (" + (tracks.size() + 1) + ")";
      tracks.add(Otio.track(name + number, kind, layer.children));
    }
    return tracks;
  }
}
