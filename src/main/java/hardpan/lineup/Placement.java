package hardpan.lineup;

import hardpan.base.SourceClock;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Where a source sits on the reference's clock: reference seconds = {@code offsetSeconds} + source
 * seconds x (1 + {@code driftPpm} x 1e-6), second 0 being the first frame of each, and beside that
 * line by its bend if one is known ({@link #clock}).
 *
 * @param state placed, ambiguous or unplaced
 * @param offsetSeconds place of the source's first frame; null if unplaced
 * @param driftPpm how much slower the source's clock runs; null if unplaced
 * @param inverted whether the source's sound is upside down against the reference
 * @param confidence 0 to 1
 * @param residualMs scatter of the windows about the line in milliseconds; null if unplaced
 * @param overlapSeconds how long source and reference run together; null if unplaced
 * @param channel the source's channel that the place was measured with; null if unplaced
 * @param referenceChannel the reference's channel it was measured against; null if unplaced or
 *     placed through another source; of a pinned source the one its own sound was found with
 * @param why one sentence: the evidence, or the reason for the refusal
 * @param windows the measured points, for the residual picture
 * @param via ids of the sources it was placed through, nearest first; empty if directly
 * @param notes what else was found on the way
 */
public record Placement(
    State state,
    @Nullable Double offsetSeconds,
    @Nullable Double driftPpm,
    boolean inverted,
    double confidence,
    @Nullable Double residualMs,
    @Nullable Double overlapSeconds,
    @Nullable Integer channel,
    @Nullable Integer referenceChannel,
    String why,
    List<Window> windows,
    List<String> via,
    Notes notes) {
  /** What the reason of a place that a person gave begins with. */
  static final String PINNED = "Pinned by hand; ";

  /** Copies the lists. */
  public Placement {
    windows = List.copyOf(windows);
    via = List.copyOf(via);
  }

  /** A place with nothing else to tell. */
  public Placement(
      State state,
      @Nullable Double offsetSeconds,
      @Nullable Double driftPpm,
      boolean inverted,
      double confidence,
      @Nullable Double residualMs,
      @Nullable Double overlapSeconds,
      @Nullable Integer channel,
      @Nullable Integer referenceChannel,
      String why,
      List<Window> windows,
      List<String> via) {
    this(
        state,
        offsetSeconds,
        driftPpm,
        inverted,
        confidence,
        residualMs,
        overlapSeconds,
        channel,
        referenceChannel,
        why,
        windows,
        via,
        Notes.NONE);
  }

  /** A place that was found on the reference itself. */
  public Placement(
      State state,
      @Nullable Double offsetSeconds,
      @Nullable Double driftPpm,
      boolean inverted,
      double confidence,
      @Nullable Double residualMs,
      @Nullable Double overlapSeconds,
      @Nullable Integer channel,
      @Nullable Integer referenceChannel,
      String why,
      List<Window> windows) {
    this(
        state,
        offsetSeconds,
        driftPpm,
        inverted,
        confidence,
        residualMs,
        overlapSeconds,
        channel,
        referenceChannel,
        why,
        windows,
        List.of());
  }

  /** What can be said about the place. */
  public enum State {
    /** Proven by windows that agree. */
    PLACED("placed"),
    /** Two places fit about equally well. */
    AMBIGUOUS("ambiguous"),
    /** No place is proven. */
    UNPLACED("unplaced");

    private final String word;

    State(String word) {
      this.word = word;
    }

    /** The word of the report contract. */
    public String word() {
      return word;
    }
  }

  /**
   * One measured window.
   *
   * @param sourceSeconds its middle in the source
   * @param delaySeconds reference seconds less source seconds there
   * @param counted whether it lies on the line
   */
  public record Window(double sourceSeconds, double delaySeconds, boolean counted) {}

  /**
   * What was found beside the place.
   *
   * @param otherPlaces where else it fits about as well, best first; empty if nowhere; of a pinned
   *     source the places that its own sound says
   * @param later other channels that hear the event later
   * @param byPicture whether it was moved so that what is seen coincides, not what is heard
   * @param flightSeconds how long the sound needs to the channel it was measured with, as far as
   *     the reference's channel has not the same way; null if not known
   * @param bend how its clock strays from the straight line; null if no bend is proved
   */
  public record Notes(
      List<Other> otherPlaces,
      List<Later> later,
      boolean byPicture,
      @Nullable Double flightSeconds,
      @Nullable ClockBend bend) {
    /** Nothing. */
    public static final Notes NONE = new Notes(List.of(), List.of(), false, null, null);

    /** Copies the lists. */
    public Notes {
      otherPlaces = List.copyOf(otherPlaces);
      later = List.copyOf(later);
    }
  }

  /**
   * Another place that fits about as well.
   *
   * @param offsetSeconds place of the source's first frame there
   * @param driftPpm the clock there
   * @param inverted whether it is upside down there
   * @param confidence its share of what speaks for any of the places, 0 to 1
   */
  public record Other(double offsetSeconds, double driftPpm, boolean inverted, double confidence) {}

  /**
   * Where else it fits about as well, best first; empty if nowhere. Of a pinned source the places
   * that its own sound says.
   */
  public List<Other> otherPlaces() {
    return notes.otherPlaces();
  }

  /** The offsets of {@link #otherPlaces}. */
  public List<Double> otherOffsetsSeconds() {
    return notes.otherPlaces().stream().map(Other::offsetSeconds).toList();
  }

  /** The source's clock on the reference's, with its bend if one is known; null if unplaced. */
  public @Nullable SourceClock clock() {
    if (offsetSeconds == null) {
      return null;
    }
    double drift = driftPpm == null ? 0 : driftPpm;
    ClockBend bend = notes.bend();
    return bend == null
        ? SourceClock.straight(offsetSeconds, drift)
        : SourceClock.bent(
            offsetSeconds,
            drift,
            bend.knots().stream().mapToDouble(ClockBend.Knot::sourceSeconds).toArray(),
            bend.knots().stream().mapToDouble(ClockBend.Knot::besideSeconds).toArray());
  }

  /** The same place with other notes. */
  public Placement with(Notes more) {
    return new Placement(
        state,
        offsetSeconds,
        driftPpm,
        inverted,
        confidence,
        residualMs,
        overlapSeconds,
        channel,
        referenceChannel,
        why,
        windows,
        via,
        more);
  }

  /** The same, later by some seconds, with another reason. */
  Placement shifted(double seconds, String reason) {
    return new Placement(
        state,
        offsetSeconds == null ? null : (Double) (offsetSeconds + seconds),
        driftPpm,
        inverted,
        confidence,
        residualMs,
        overlapSeconds,
        channel,
        referenceChannel,
        reason,
        windows.stream()
            .map(
                one -> new Window(one.sourceSeconds(), one.delaySeconds() + seconds, one.counted()))
            .toList(),
        via,
        new Notes(
            notes.otherPlaces().stream()
                .map(
                    other ->
                        new Other(
                            other.offsetSeconds() + seconds,
                            other.driftPpm(),
                            other.inverted(),
                            other.confidence()))
                .toList(),
            notes.later(),
            notes.byPicture(),
            notes.flightSeconds(),
            notes.bend()));
  }

  /** Of a source that a person left out. */
  public static Placement leftOut() {
    return unplaced("Left out of the line-up by hand.", 1);
  }

  /** Whether a person left the source out; no other refusal is quite sure. */
  public boolean isLeftOut() {
    return state == State.UNPLACED && confidence == 1;
  }

  /** A person's place this close to what the sound says is the same place, set more finely. */
  private static final double SAME_PLACE_SECONDS = 0.02;

  /** Whether its sound was found at this place: always, unless a person put it elsewhere. */
  public boolean isHeardHere() {
    if (!isPinned()) {
      return offsetSeconds != null;
    }
    List<Double> says = otherOffsetsSeconds();
    return offsetSeconds != null
        && !says.isEmpty()
        && Math.abs(says.get(0) - offsetSeconds) <= SAME_PLACE_SECONDS;
  }

  /** Whether a person gave the place. */
  public boolean isPinned() {
    return why.startsWith(PINNED);
  }

  /** A refusal because the source could not be read again. */
  public static Placement refused(String why) {
    return unplaced(why, 0.5);
  }

  /** A refusal. */
  static Placement unplaced(String why, double confidence) {
    return new Placement(
        State.UNPLACED, null, null, false, confidence, null, null, null, null, why, List.of());
  }
}
