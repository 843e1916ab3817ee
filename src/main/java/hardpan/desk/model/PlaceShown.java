package hardpan.desk.model;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What is shown of a source's place.
 *
 * @param isPossible whether the person can change it
 * @param whyNot why not; empty if it can be changed
 * @param offsetSeconds where it is now; null if it has no place
 * @param foundSeconds where it was found; null if nowhere, or if it was pinned already when the
 *     shoot was opened and its sound found nothing
 * @param isPinned whether a person put it there
 * @param isLeftOut whether a person left it out
 * @param headWords the place and what was changed, in one short line
 * @param offsetWords the place in seconds, frames and timecode
 * @param changeWords what was changed
 * @param rateWords how frames are counted
 * @param runWords what else moves with it; empty if nothing does
 * @param candidates places its sound fits; empty if there is no choice
 */
public record PlaceShown(
    boolean isPossible,
    String whyNot,
    @Nullable Double offsetSeconds,
    @Nullable Double foundSeconds,
    boolean isPinned,
    boolean isLeftOut,
    String headWords,
    String offsetWords,
    String changeWords,
    String rateWords,
    String runWords,
    List<Candidate> candidates) {
  /** No source is chosen. */
  static final PlaceShown NONE = not(Texts.of("place.choose"));

  /** Copies the list. */
  public PlaceShown {
    candidates = List.copyOf(candidates);
  }

  /** There is nothing to change. */
  static PlaceShown not(String why) {
    return new PlaceShown(false, why, null, null, false, false, "", "", "", "", "", List.of());
  }

  /** Whether the person moved it from where it was found. */
  public boolean isMoved() {
    return offsetSeconds != null
        && foundSeconds != null
        && Math.abs(offsetSeconds - foundSeconds) >= 5e-7;
  }

  /**
   * A place its sound fits.
   *
   * @param offsetSeconds where its first frame would lie
   * @param words the same in words
   * @param isHere whether it is there now
   */
  public record Candidate(double offsetSeconds, String words, boolean isHere) {}
}
