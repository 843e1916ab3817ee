package hardpan.lineup;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Where a source sits on the reference's clock: reference seconds = {@code offsetSeconds} + source
 * seconds x (1 + {@code driftPpm} x 1e-6), second 0 being the first frame of each.
 *
 * @param state placed, ambiguous or unplaced
 * @param offsetSeconds place of the source's first frame; null if unplaced
 * @param driftPpm how much slower the source's clock runs; null if unplaced
 * @param inverted whether the source's sound is upside down against the reference
 * @param confidence 0 to 1
 * @param residualMs scatter of the windows about the line in milliseconds; null if unplaced
 * @param overlapSeconds how long source and reference run together; null if unplaced
 * @param channel the source's channel that the place was measured with; null if unplaced
 * @param referenceChannel the reference's channel it was measured against; null if unplaced, pinned
 *     or placed through another source
 * @param why one sentence: the evidence, or the reason for the refusal
 * @param windows the measured points, for the residual picture
 * @param via ids of the sources it was placed through, nearest first; empty if directly
 * @param otherOffsetsSeconds other places that its sound fits; of a pinned source those its own
 *     sound says, the best first
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
    List<Double> otherOffsetsSeconds) {
  /** What the reason of a place that a person gave begins with. */
  static final String PINNED = "Pinned by hand; ";

  /** Copies the lists. */
  public Placement {
    windows = List.copyOf(windows);
    via = List.copyOf(via);
    otherOffsetsSeconds = List.copyOf(otherOffsetsSeconds);
  }

  /** A place without rivals. */
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
        List.of());
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

  /** Of a source that a person left out. */
  public static Placement leftOut() {
    return unplaced("Left out of the line-up by hand.", 1);
  }

  /** Whether a person left the source out; no other refusal is quite sure. */
  public boolean isLeftOut() {
    return state == State.UNPLACED && confidence == 1;
  }

  /** Whether a person gave the place. */
  public boolean isPinned() {
    return why.startsWith(PINNED);
  }

  /** The same with other places that its sound fits. */
  public Placement withOthers(List<Double> offsetsSeconds) {
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
        offsetsSeconds);
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
