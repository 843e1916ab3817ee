package hardpan.lineup;

import hardpan.lineup.Bond.Clock;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * All matches of a shoot together. Where they form a ring, the way round must lead back to where it
 * began; if it does not, one match in the ring is wrong, and the one goes without which the most
 * agreement is left.
 *
 * <p>Sound needs its time: two cameras at different distances from two loudspeakers miss each other
 * by up to a tenth of a second without any match being wrong.
 */
final class BondGraph {
  /** By more than this a ring does not close: 34 m of air. */
  static final double RING_SECONDS = 0.1;

  /** From this share on, what would be lost either way is about the same. */
  private static final double ABOUT_AS_MUCH = 0.6;

  private final Map<String, Clock> fixed;
  private final List<Bond> bonds;

  /**
   * A graph.
   *
   * @param fixed clocks that are given: the reference's, and those of pinned sources
   * @param bonds all matches
   */
  BondGraph(Map<String, Clock> fixed, List<Bond> bonds) {
    this.fixed = Map.copyOf(fixed);
    this.bonds =
        bonds.stream()
            .sorted(
                Comparator.comparingDouble(Bond::strength)
                    .reversed()
                    .thenComparing(Bond::source)
                    .thenComparing(Bond::host))
            .toList();
  }

  /**
   * What holds together.
   *
   * @param kept matches that agree with each other
   * @param dropped matches that do not
   * @param clocks first lines of all sources that hang on a given one
   * @param rivals for sources whose ring could as well be broken elsewhere: where they would lie
   *     then
   */
  record Agreement(
      List<Bond> kept, List<Bond> dropped, Map<String, Clock> clocks, Map<String, Clock> rivals) {}

  /** Which matches were used to get from one source to the next, and what does not fit them. */
  private record Tree(Map<String, Clock> clocks, Map<String, Bond> parents, List<Bond> misfits) {
    double lost(Set<Bond> banned) {
      double lost = 0;
      for (Bond bond : misfits) {
        lost += bond.strength();
      }
      for (Bond bond : banned) {
        lost += bond.strength();
      }
      return lost;
    }
  }

  /** Drops what contradicts the rest. */
  Agreement agree() {
    Set<Bond> banned = new HashSet<>();
    Map<String, Clock> rivals = new LinkedHashMap<>();
    Tree tree = grow(banned);
    while (!tree.misfits().isEmpty()) {
      Bond worst = null;
      double least = Double.POSITIVE_INFINITY;
      Map<Bond, Tree> without = new LinkedHashMap<>();
      for (Bond misfit : tree.misfits()) {
        for (Bond suspect : ring(tree, misfit)) {
          if (without.containsKey(suspect)) {
            continue;
          }
          Set<Bond> more = new HashSet<>(banned);
          more.add(suspect);
          Tree grown = grow(more);
          without.put(suspect, grown);
          double lost = grown.lost(more);
          if (lost < least || (lost == least && worst != null && isWeaker(suspect, worst))) {
            least = lost;
            worst = suspect;
          }
        }
      }
      if (worst == null) {
        break;
      }
      Tree chosen = without.get(worst);
      for (Map.Entry<Bond, Tree> entry : without.entrySet()) {
        Set<Bond> more = new HashSet<>(banned);
        more.add(entry.getKey());
        if (chosen != null && least >= ABOUT_AS_MUCH * entry.getValue().lost(more)) {
          addRivals(chosen, entry.getValue(), rivals);
        }
      }
      banned.add(worst);
      tree = grow(banned);
    }
    List<Bond> kept = new ArrayList<>(bonds);
    kept.removeAll(banned);
    return new Agreement(kept, List.copyOf(banned), tree.clocks(), rivals);
  }

  private static boolean isWeaker(Bond a, Bond b) {
    return a.strength() < b.strength();
  }

  private static void addRivals(Tree chosen, Tree other, Map<String, Clock> rivals) {
    for (Map.Entry<String, Clock> entry : chosen.clocks().entrySet()) {
      Clock there = other.clocks().get(entry.getKey());
      if (there != null
          && Math.abs(there.offsetSeconds() - entry.getValue().offsetSeconds()) > RING_SECONDS) {
        rivals.put(entry.getKey(), there);
      }
    }
  }

  /** Goes from source to source, always over the strongest match that leads on. */
  private Tree grow(Set<Bond> banned) {
    Map<String, Clock> clocks = new LinkedHashMap<>(fixed);
    Map<String, Bond> parents = new HashMap<>();
    for (boolean grew = true; grew; ) {
      grew = false;
      for (Bond bond : bonds) {
        Clock source = clocks.get(bond.source());
        Clock host = clocks.get(bond.host());
        if (banned.contains(bond) || (source == null) == (host == null)) {
          continue;
        }
        if (host != null) {
          clocks.put(bond.source(), bond.sourceClock(host));
          parents.put(bond.source(), bond);
        } else if (source != null) {
          clocks.put(bond.host(), bond.hostClock(source));
          parents.put(bond.host(), bond);
        }
        grew = true;
        break;
      }
    }
    List<Bond> misfits = new ArrayList<>();
    for (Bond bond : bonds) {
      Clock source = clocks.get(bond.source());
      Clock host = clocks.get(bond.host());
      if (!banned.contains(bond)
          && source != null
          && host != null
          && Math.abs(bond.mismatch(source, host)) > RING_SECONDS) {
        misfits.add(bond);
      }
    }
    return new Tree(clocks, parents, misfits);
  }

  /** The matches on the way round that a match closes, itself included. */
  private static List<Bond> ring(Tree tree, Bond closing) {
    List<Bond> ring = new ArrayList<>(List.of(closing));
    List<Bond> up = way(tree, closing.source());
    List<Bond> down = way(tree, closing.host());
    for (Bond bond : up) {
      if (!down.contains(bond)) {
        ring.add(bond);
      }
    }
    for (Bond bond : down) {
      if (!up.contains(bond)) {
        ring.add(bond);
      }
    }
    return ring;
  }

  private static List<Bond> way(Tree tree, String from) {
    List<Bond> way = new ArrayList<>();
    String at = from;
    for (Bond bond = tree.parents().get(at); bond != null; bond = tree.parents().get(at)) {
      way.add(bond);
      at = bond.other(at);
    }
    return way;
  }

  /**
   * The shortest way from a source to one whose clock is given.
   *
   * @param kept matches that may be used
   * @return the matches on it, nearest first; empty if there is no way or none is needed
   */
  List<Bond> wayTo(String from, List<Bond> kept) {
    Map<String, Bond> reachedBy = new HashMap<>();
    Deque<String> next = new ArrayDeque<>(List.of(from));
    Set<String> seen = new HashSet<>(next);
    while (!next.isEmpty()) {
      String at = next.removeFirst();
      if (fixed.containsKey(at)) {
        return unrolled(from, at, reachedBy);
      }
      for (Bond bond : kept) {
        if (bond.joins(at) && seen.add(bond.other(at))) {
          reachedBy.put(bond.other(at), bond);
          next.addLast(bond.other(at));
        }
      }
    }
    return List.of();
  }

  private static List<Bond> unrolled(String from, String to, Map<String, Bond> reachedBy) {
    List<Bond> way = new ArrayList<>();
    String at = to;
    while (!at.equals(from)) {
      @Nullable Bond bond = reachedBy.get(at);
      if (bond == null) {
        return List.of();
      }
      way.add(0, bond);
      at = bond.other(at);
    }
    return way;
  }
}
