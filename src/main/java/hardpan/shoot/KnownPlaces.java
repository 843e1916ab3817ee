package hardpan.shoot;

import hardpan.lineup.Placement;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * What comparing one source with another gave, so that a new decision of a person does not have
 * them compared again. Good as long as the sources and what was found in them are the same. Safe
 * for several threads.
 */
final class KnownPlaces {
  private final Map<Pair, Placement> places = new ConcurrentHashMap<>();

  private record Pair(String source, String host) {}

  @Nullable Placement of(String source, String host) {
    return places.get(new Pair(source, host));
  }

  void add(String source, String host, Placement place) {
    places.put(new Pair(source, host), place);
  }
}
