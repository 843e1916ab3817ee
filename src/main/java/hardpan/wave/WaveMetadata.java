package hardpan.wave;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * What a Wave file carries beside its sound.
 *
 * @param bext the broadcast extension, or null for none
 * @param ixml the text of the iXML chunk, or null for none
 * @param info {@code LIST INFO} entries in writing order: four-character id to text
 * @param cuePoints markers and regions
 * @param others chunks that are passed on as they are; written last
 */
public record WaveMetadata(
    @Nullable BroadcastExtension bext,
    @Nullable String ixml,
    Map<String, String> info,
    List<CuePoint> cuePoints,
    List<RawChunk> others) {

  /** Nothing. */
  public static final WaveMetadata NONE = new WaveMetadata(null, null, Map.of(), List.of());

  /** Without chunks that are passed on. */
  public WaveMetadata(
      @Nullable BroadcastExtension bext,
      @Nullable String ixml,
      Map<String, String> info,
      List<CuePoint> cuePoints) {
    this(bext, ixml, info, cuePoints, List.of());
  }

  /** Copies the collections and checks the ids. */
  public WaveMetadata {
    info = Collections.unmodifiableMap(new LinkedHashMap<>(info));
    cuePoints = List.copyOf(cuePoints);
    others = List.copyOf(others);
    for (String id : info.keySet()) {
      if (id.length() != 4 || !id.chars().allMatch(c -> c >= 0x20 && c <= 0x7E)) {
        throw new IllegalArgumentException("INFO id '" + id + "'");
      }
    }
  }
}
