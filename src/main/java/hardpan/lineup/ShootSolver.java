package hardpan.lineup;

import hardpan.lineup.Bond.Clock;
import hardpan.lineup.Placement.State;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * One solution for all sources of a shoot. Every source is matched with the reference first; one
 * that finds no place there is matched with others that have one, and placed through them. Weak
 * matches are checked against a neighbour. What contradicts the rest is dropped ({@link
 * BondGraph}), and what is left is laid on the reference at once ({@link ClockSolution}).
 *
 * <p>A place that fits twice stays ambiguous: a neighbour that heard only one of two playbacks
 * would choose with false certainty.
 */
public final class ShootSolver {
  /** Hosts a source is matched with when the reference does not know it. */
  private static final int MOST_HOSTS = 6;

  /** Times that newly placed sources become hosts for those still without a place. */
  private static final int ROUNDS = 3;

  private static final double DOUBTFUL_BELOW = 0.9;
  private static final int CHECKS = 2;
  private static final double LEAST_COMMON_SECONDS = 5;
  private static final double SAYS_OTHERWISE_SECONDS = 0.02;

  private final List<Node> nodes;
  private final String referenceId;
  private final Map<String, Double> pins;
  private final Matcher matcher;
  private final Map<String, Node> byId = new LinkedHashMap<>();
  private final Map<String, Placement> direct = new LinkedHashMap<>();
  private final List<Bond> bonds = new ArrayList<>();
  private final Set<Pair> tried = new HashSet<>();

  /**
   * A source.
   *
   * @param id unique
   * @param device sources of one device share a clock
   * @param durationSeconds its length, at least 0
   */
  public record Node(String id, String device, double durationSeconds) {}

  /**
   * A question: where does a source lie on a host?
   *
   * @param source id of the one
   * @param host id of the other
   */
  public record Pair(String source, String host) {}

  /** Answers questions by the sound. */
  @FunctionalInterface
  public interface Matcher {
    /**
     * Matches pairs; they may be worked on at the same time.
     *
     * @return one answer for each pair, in their order, with the host taking the reference's part
     */
    List<Placement> match(List<Pair> pairs);
  }

  /**
   * A task.
   *
   * @param nodes all sources, the reference among them
   * @param referenceId whose clock counts
   * @param pins offsets on the reference in seconds that a person gave, by source; none for the
   *     reference
   * @param matcher compares two sources
   * @throws IllegalArgumentException if the reference is missing or pinned
   */
  public ShootSolver(
      Collection<Node> nodes, String referenceId, Map<String, Double> pins, Matcher matcher) {
    this.nodes = List.copyOf(nodes);
    this.referenceId = referenceId;
    this.pins = new TreeMap<>(pins);
    this.matcher = matcher;
    this.nodes.forEach(node -> byId.put(node.id(), node));
    if (!byId.containsKey(referenceId) || pins.containsKey(referenceId)) {
      throw new IllegalArgumentException("the reference must be a source and cannot be pinned");
    }
    this.pins.keySet().retainAll(byId.keySet());
  }

  /** Solves: a placement for every source but the reference, in the order of the sources. */
  public Map<String, Placement> solve() {
    matchWithReference();
    int round = 0;
    while (round < ROUNDS && matchThroughOthers()) {
      round++;
    }
    checkDoubtful();
    dropWhatPinsDeny();
    Map<String, Clock> fixed = fixedClocks();
    BondGraph graph = new BondGraph(fixed, bonds);
    BondGraph.Agreement agreement = graph.agree();
    Map<String, String> devices = new HashMap<>();
    nodes.forEach(node -> devices.put(node.id(), node.device()));
    Map<String, Clock> clocks =
        new ClockSolution(
                referenceId,
                devices,
                pins,
                agreement.clocks(),
                agreement.kept().stream().filter(this::isBetween).toList(),
                pinnedSlopes())
            .solve();
    Map<String, Placement> result = new LinkedHashMap<>();
    for (Node node : nodes) {
      if (!node.id().equals(referenceId)) {
        result.put(node.id(), placement(node, graph, agreement, clocks));
      }
    }
    return result;
  }

  private boolean isBetween(Bond bond) {
    boolean pinnedOnReference = pins.containsKey(bond.source()) && bond.host().equals(referenceId);
    return !pinnedOnReference;
  }

  private void matchWithReference() {
    List<Pair> pairs = new ArrayList<>();
    for (Node node : nodes) {
      if (!node.id().equals(referenceId)) {
        pairs.add(new Pair(node.id(), referenceId));
      }
    }
    List<Placement> answers = match(pairs);
    for (int i = 0; i < pairs.size(); i++) {
      direct.put(pairs.get(i).source(), answers.get(i));
    }
  }

  /** Asks, and keeps a bond for every pair that fits. */
  private List<Placement> match(List<Pair> pairs) {
    tried.addAll(pairs);
    List<Placement> answers = pairs.isEmpty() ? List.of() : matcher.match(pairs);
    for (int i = 0; i < pairs.size(); i++) {
      if (answers.get(i).state() == State.PLACED) {
        bonds.add(Bond.of(pairs.get(i).source(), pairs.get(i).host(), answers.get(i)));
      }
    }
    return answers;
  }

  /** Whether new bonds were found for sources without a place. */
  private boolean matchThroughOthers() {
    Map<String, Clock> placed = new BondGraph(fixedClocks(), bonds).agree().clocks();
    double end = node(referenceId).durationSeconds();
    List<Node> hosts = new ArrayList<>();
    for (Node node : nodes) {
      if (placed.containsKey(node.id()) && !node.id().equals(referenceId)) {
        hosts.add(node);
      }
    }
    // What the reference does not know was mostly said before or after it.
    hosts.sort(
        Comparator.comparingDouble((Node host) -> -beyond(host, placed, end))
            .thenComparing(Comparator.comparingDouble(Node::durationSeconds).reversed())
            .thenComparing(Node::id));
    List<Pair> pairs = new ArrayList<>();
    for (Node node : nodes) {
      Placement own = direct.get(node.id());
      if (placed.containsKey(node.id()) || own == null || own.state() != State.UNPLACED) {
        continue;
      }
      int asked = 0;
      for (Node host : hosts) {
        Pair pair = new Pair(node.id(), host.id());
        if (asked < MOST_HOSTS && !host.device().equals(node.device()) && !tried.contains(pair)) {
          pairs.add(pair);
          asked++;
        }
      }
    }
    return match(pairs).stream().anyMatch(answer -> answer.state() == State.PLACED);
  }

  /** How long a source runs before the reference's start and after its end. */
  private static double beyond(Node node, Map<String, Clock> placed, double end) {
    Clock clock = placed.getOrDefault(node.id(), Clock.REFERENCE);
    return Math.max(0, -clock.at(0)) + Math.max(0, clock.at(node.durationSeconds()) - end);
  }

  /** A weak match with the reference is checked with neighbours that ran at the same time. */
  private void checkDoubtful() {
    Map<String, Clock> placed = new BondGraph(fixedClocks(), bonds).agree().clocks();
    List<Pair> pairs = new ArrayList<>();
    for (Node node : nodes) {
      Placement own = direct.get(node.id());
      Clock clock = placed.get(node.id());
      if (own == null
          || clock == null
          || own.state() != State.PLACED
          || own.confidence() >= DOUBTFUL_BELOW
          || pins.containsKey(node.id())) {
        continue;
      }
      nodes.stream()
          .filter(other -> !other.device().equals(node.device()))
          .filter(other -> !other.id().equals(referenceId))
          .filter(other -> common(node, clock, other, placed) >= LEAST_COMMON_SECONDS)
          .filter(other -> !tried.contains(new Pair(other.id(), node.id())))
          .sorted(Comparator.comparingDouble(other -> -common(node, clock, other, placed)))
          .limit(CHECKS)
          .forEach(other -> pairs.add(new Pair(node.id(), other.id())));
    }
    match(pairs.stream().distinct().toList());
  }

  private static double common(Node node, Clock clock, Node other, Map<String, Clock> placed) {
    Clock there = placed.get(other.id());
    if (there == null) {
      return 0;
    }
    double from = Math.max(clock.at(0), there.at(0));
    double to = Math.min(clock.at(node.durationSeconds()), there.at(other.durationSeconds()));
    return to - from;
  }

  private Node node(String id) {
    Node node = byId.get(id);
    if (node == null) {
      throw new IllegalArgumentException(id);
    }
    return node;
  }

  private Map<String, Clock> fixedClocks() {
    Map<String, Clock> fixed = new LinkedHashMap<>();
    fixed.put(referenceId, Clock.REFERENCE);
    pins.forEach((id, offset) -> fixed.put(id, new Clock(offset, 1 + 1e-6 * ownDriftPpm(id))));
    return fixed;
  }

  private double ownDriftPpm(String id) {
    Placement own = direct.get(id);
    Double drift = own == null ? null : own.driftPpm();
    return drift == null ? 0 : drift;
  }

  /**
   * Where a pin denies what a source's own sound says, that sound does not speak for its neighbours
   * either, if they have a place of their own.
   */
  private void dropWhatPinsDeny() {
    Map<String, Clock> fixed = fixedClocks();
    bonds.removeIf(bond -> pins.containsKey(bond.source()) && bond.host().equals(referenceId));
    Set<String> own = new HashSet<>();
    for (Bond bond : bonds) {
      if (bond.host().equals(referenceId)) {
        own.add(bond.source());
      }
    }
    Map<String, Clock> without = new HashMap<>();
    for (Bond bond : bonds) {
      if (bond.host().equals(referenceId)) {
        without.put(bond.source(), bond.sourceClock(Clock.REFERENCE));
      }
    }
    bonds.removeIf(
        bond -> {
          boolean pinnedHost = pins.containsKey(bond.host()) && own.contains(bond.source());
          boolean pinnedSource = pins.containsKey(bond.source()) && own.contains(bond.host());
          if (!pinnedHost && !pinnedSource) {
            return false;
          }
          Clock source = (pinnedSource ? fixed : without).get(bond.source());
          Clock host = (pinnedHost ? fixed : without).get(bond.host());
          return source != null
              && host != null
              && Math.abs(bond.mismatch(source, host)) > BondGraph.RING_SECONDS;
        });
  }

  /** Of a pinned source's match with the reference, only the clock counts. */
  private List<Bond> pinnedSlopes() {
    List<Bond> slopes = new ArrayList<>();
    for (String id : pins.keySet()) {
      Placement own = direct.get(id);
      if (own != null && own.offsetSeconds() != null && own.driftPpm() != null) {
        slopes.add(Bond.of(id, referenceId, own));
      }
    }
    return slopes;
  }

  private Placement placement(
      Node node, BondGraph graph, BondGraph.Agreement agreement, Map<String, Clock> clocks) {
    String id = node.id();
    Placement own = direct.getOrDefault(id, Placement.refused("It was not compared."));
    Clock clock = clocks.get(id);
    if (clock == null) {
      return own;
    }
    if (pins.containsKey(id)) {
      return pinned(node, own, clock);
    }
    List<Bond> way = graph.wayTo(id, agreement.kept());
    if (way.isEmpty()) {
      return own;
    }
    Placement placed =
        way.size() == 1 && way.get(0).host().equals(referenceId)
            ? moved(own, clock, own.why())
            : through(node, way, clocks);
    for (Bond bond : agreement.dropped()) {
      if (bond.joins(id)) {
        placed = moved(placed, clock, placed.why() + " " + denied(bond, id));
      }
    }
    Clock rival = agreement.rivals().get(id);
    return rival == null ? placed : doubtful(placed, clock, rival);
  }

  private String denied(Bond bond, String id) {
    return String.format(
        Locale.ROOT,
        "Its match with %s contradicts the others and was dropped.",
        bond.other(id).equals(referenceId) ? "the reference" : bond.other(id));
  }

  private Placement pinned(Node node, Placement own, Clock clock) {
    Double heard = own.offsetSeconds();
    String words =
        heard == null
            ? "its own sound found no place on the reference"
            : Math.abs(heard - clock.offsetSeconds()) <= SAYS_OTHERWISE_SECONDS
                ? String.format(
                    Locale.ROOT,
                    "its own sound says the same within %.1f ms",
                    1000 * Math.abs(heard - clock.offsetSeconds()))
                : String.format(Locale.ROOT, "its own sound says %.3f s", heard);
    List<Placement.Other> says = new ArrayList<>(own.otherPlaces());
    if (heard != null) {
      double rest = says.stream().mapToDouble(Placement.Other::confidence).sum();
      says.add(
          0,
          new Placement.Other(
              heard,
              ownDriftPpm(node.id()),
              own.inverted(),
              says.isEmpty() ? own.confidence() : Math.max(0, 1 - rest)));
    }
    Placement given =
        new Placement(
            State.PLACED,
            clock.offsetSeconds(),
            clock.driftPpm(),
            own.inverted(),
            1,
            own.residualMs(),
            overlap(node, clock, node(referenceId), Clock.REFERENCE),
            own.channel(),
            own.referenceChannel(),
            Placement.PINNED + words + ".",
            List.of(),
            List.of());
    return given.with(new Placement.Notes(says, List.of(), false, null, null));
  }

  /** The same place by another line; what its windows say of a bend stays true. */
  private static Placement moved(Placement placement, Clock clock, String why) {
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    Placement.Notes notes = placement.notes();
    ClockBend bend = notes.bend();
    if (bend != null && offset != null && drift != null) {
      bend = bend.besideOther(offset - clock.offsetSeconds(), (drift - clock.driftPpm()) * 1e-6);
    }
    return new Placement(
        placement.state(),
        clock.offsetSeconds(),
        clock.driftPpm(),
        placement.inverted(),
        placement.confidence(),
        placement.residualMs(),
        placement.overlapSeconds(),
        placement.channel(),
        placement.referenceChannel(),
        why,
        placement.windows(),
        placement.via(),
        new Placement.Notes(
            notes.otherPlaces(), notes.later(), notes.byPicture(), notes.flightSeconds(), bend));
  }

  private static Placement doubtful(Placement placement, Clock clock, Clock rival) {
    List<Placement.Other> others = new ArrayList<>(placement.otherPlaces());
    others.add(
        0, new Placement.Other(rival.offsetSeconds(), rival.driftPpm(), placement.inverted(), 0.5));
    return new Placement(
        State.AMBIGUOUS,
        clock.offsetSeconds(),
        clock.driftPpm(),
        placement.inverted(),
        0.5,
        placement.residualMs(),
        placement.overlapSeconds(),
        placement.channel(),
        placement.referenceChannel(),
        String.format(
            Locale.ROOT,
            "The matches of its neighbours contradict each other about equally: %.3f s or %.3f s. %s",
            clock.offsetSeconds(),
            rival.offsetSeconds(),
            placement.why()),
        placement.windows(),
        placement.via(),
        new Placement.Notes(
            others, placement.notes().later(), false, null, placement.notes().bend()));
  }

  /** A place by way of other sources. */
  private Placement through(Node node, List<Bond> way, Map<String, Clock> clocks) {
    List<String> via = new ArrayList<>();
    boolean inverted = false;
    double confidence = 1;
    String at = node.id();
    for (Bond bond : way) {
      inverted ^= bond.placement().inverted();
      confidence *= bond.placement().confidence();
      at = bond.other(at);
      if (!at.equals(referenceId)) {
        via.add(at);
      }
    }
    Bond first = way.get(0);
    boolean isSource = first.source().equals(node.id());
    Clock clock = clocks.getOrDefault(node.id(), Clock.REFERENCE);
    Clock hostClock = clocks.getOrDefault(first.other(node.id()), Clock.REFERENCE);
    List<Placement.Window> windows = new ArrayList<>();
    for (Placement.Window window : first.placement().windows()) {
      double host = window.sourceSeconds() + window.delaySeconds();
      double own = isSource ? window.sourceSeconds() : host;
      double there = hostClock.at(isSource ? host : window.sourceSeconds());
      windows.add(new Placement.Window(own, there - own, window.counted()));
    }
    return new Placement(
        State.PLACED,
        clock.offsetSeconds(),
        clock.driftPpm(),
        inverted,
        confidence,
        first.placement().residualMs(),
        first.placement().overlapSeconds(),
        isSource ? first.placement().channel() : first.placement().referenceChannel(),
        null,
        (isKnownDirectly(node.id())
                ? "Its match with the reference contradicts the others; it was placed through "
                : "It has no sound in common with the reference and was placed through ")
            + String.join(", then ", via)
            + ". "
            + first.placement().why().replace(" of the reference)", " there)"),
        windows,
        via);
  }

  private boolean isKnownDirectly(String id) {
    Placement own = direct.get(id);
    return own != null && own.state() == State.PLACED;
  }

  private static double overlap(Node a, Clock clock, Node b, Clock other) {
    double from = Math.max(clock.at(0), other.at(0));
    double to = Math.min(clock.at(a.durationSeconds()), other.at(b.durationSeconds()));
    return Math.max(0, to - from);
  }
}
