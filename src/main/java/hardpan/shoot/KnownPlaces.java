package hardpan.shoot;

import hardpan.lineup.Placement;
import java.util.Comparator;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * What comparing one source with another gave, so that a new decision of a person does not have
 * them compared again. Good as long as the sources and what was found in them are the same. Safe
 * for several threads.
 */
final class KnownPlaces {
  private static final Comparator<Pair> ORDER =
      Comparator.comparing(Pair::source).thenComparing(Pair::host);

  private final Map<Pair, Placement> places = new ConcurrentHashMap<>();
  private final Map<Pair, Placement> fresh = new ConcurrentHashMap<>();

  /** Two runs, each by its first source's path. */
  record Pair(String source, String host) {}

  /** Nothing was compared yet. */
  KnownPlaces() {}

  /** What was kept of earlier comparisons. */
  KnownPlaces(Map<Pair, Placement> kept) {
    places.putAll(kept);
  }

  @Nullable Placement of(String source, String host) {
    return places.get(new Pair(source, host));
  }

  void add(String source, String host, Placement place) {
    Pair pair = new Pair(source, host);
    places.put(pair, place);
    fresh.put(pair, place);
  }

  /** What was added since this was called last. */
  Map<Pair, Placement> takeFresh() {
    Map<Pair, Placement> taken = new TreeMap<>(ORDER);
    taken.putAll(fresh);
    taken.forEach(fresh::remove);
    return taken;
  }
}
