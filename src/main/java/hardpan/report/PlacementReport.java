package hardpan.report;

import hardpan.base.SourceClock;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * Where a source sits on the reference: <i>reference seconds = offsetSeconds + source seconds x (1
 * + driftPpm x 1e-6)</i>, source second 0 being its first decoded sample after edit lists,
 * reference second 0 the reference's first sample. The source's first (direct) arrival of a sound
 * is lined up with the direct feed of the reference.
 *
 * @param state in a word
 * @param offsetSeconds where the source starts; negative before the reference; null if unplaced
 * @param driftPpm how much longer the source's second is than the reference's, in parts per
 *     million; null if unplaced
 * @param inverted whether the source is upside down against the reference
 * @param confidence 0 to 1
 * @param residualMs spread of the single measurements about the line, in milliseconds; null if
 *     unplaced
 * @param overlapSeconds common time of source and reference (or of what it was placed through);
 *     null if unplaced
 * @param via paths of the sources it was placed through, nearest first; empty if directly
 * @param why what the placement rests on, or why there is none: one or more plain sentences
 * @param otherPlaces where else it fits about as well, best first; empty if nowhere
 * @param basis what its place rests on: what is heard, what is seen, or a person's word
 * @param flightSeconds how much later it hears than the reference's feed; null if not known
 * @param clockBend how the clock strays from the straight line; null if no bend is proved
 */
public record PlacementReport(
    State state,
    @Nullable Double offsetSeconds,
    @Nullable Double driftPpm,
    boolean inverted,
    double confidence,
    @Nullable Double residualMs,
    @Nullable Double overlapSeconds,
    List<String> via,
    String why,
    List<OtherPlaceReport> otherPlaces,
    Basis basis,
    @Nullable Double flightSeconds,
    @Nullable ClockBendReport clockBend) {
  /** Rounds and copies; a placed source must have an offset and a drift. */
  public PlacementReport {
    Objects.requireNonNull(state, "state");
    Objects.requireNonNull(why, "why");
    offsetSeconds = Numbers.orNull(offsetSeconds, Numbers.SECOND);
    driftPpm = Numbers.orNull(driftPpm, Numbers.PPM);
    confidence = Numbers.confidence(confidence);
    residualMs = Numbers.notNegativeOrNull(residualMs, Numbers.MILLISECOND, "residualMs");
    overlapSeconds = Numbers.notNegativeOrNull(overlapSeconds, Numbers.SECOND, "overlapSeconds");
    via = List.copyOf(via);
    // Older reports say nothing of these.
    otherPlaces = otherPlaces == null ? List.of() : List.copyOf(otherPlaces);
    basis = Objects.requireNonNullElse(basis, Basis.SOUND);
    flightSeconds = Numbers.orNull(flightSeconds, Numbers.SECOND);
    if (state == State.PLACED && (offsetSeconds == null || driftPpm == null)) {
      throw new IllegalArgumentException("a placed source needs an offset and a drift");
    }
  }

  /** A place by sound that fits nowhere else. */
  public PlacementReport(
      State state,
      @Nullable Double offsetSeconds,
      @Nullable Double driftPpm,
      boolean inverted,
      double confidence,
      @Nullable Double residualMs,
      @Nullable Double overlapSeconds,
      List<String> via,
      String why) {
    this(
        state,
        offsetSeconds,
        driftPpm,
        inverted,
        confidence,
        residualMs,
        overlapSeconds,
        via,
        why,
        List.of(),
        Basis.SOUND,
        null,
        null);
  }

  /**
   * Further from where its sound fits, a place by hand is no finer setting of the same place: in a
   * tenth of a second sound goes 34 m, farther than a camera of an event mostly stands.
   */
  private static final double ELSEWHERE_SECONDS = 0.1;

  /** Whether a person left the source out of the line-up; no other refusal is quite sure. */
  public boolean wasLeftOut() {
    return state == State.UNPLACED && confidence == 1;
  }

  /** Where the sound of a source fits that a person put elsewhere; null if it does not gainsay. */
  public @Nullable Double soundElsewhereSeconds() {
    Double here = offsetSeconds;
    if (basis != Basis.HAND || here == null || otherPlaces.isEmpty()) {
      return null;
    }
    boolean fitsHere =
        otherPlaces.stream()
            .anyMatch(place -> Math.abs(place.offsetSeconds() - here) <= ELSEWHERE_SECONDS);
    return fitsHere ? null : (Double) otherPlaces.get(0).offsetSeconds();
  }

  /** The source's clock on the reference's, with its bend if one is known; null if unplaced. */
  @Nullable SourceClock clock() {
    if (offsetSeconds == null) {
      return null;
    }
    double drift = driftPpm == null ? 0 : driftPpm;
    return clockBend == null
        ? SourceClock.straight(offsetSeconds, drift)
        : clockBend.clock(offsetSeconds, drift);
  }

  /** An honest refusal. */
  public static PlacementReport unplaced(double confidence, String why) {
    return new PlacementReport(
        State.UNPLACED, null, null, false, confidence, null, null, List.of(), why);
  }

  /** What a place rests on. */
  public enum Basis implements Word {
    /** What is heard coincides. */
    SOUND,
    /** What is seen coincides. */
    PICTURE,
    /** A person gave it. */
    HAND
  }

  /** Whether the source found its place. */
  public enum State implements Word {
    /** One place, proven. */
    PLACED,
    /** It fits in more than one place; the numbers are those of the best one. */
    AMBIGUOUS,
    /** No place found: it does not belong, or there is too little to go by. */
    UNPLACED
  }
}
