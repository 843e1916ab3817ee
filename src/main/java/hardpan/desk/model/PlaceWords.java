package hardpan.desk.model;

import hardpan.lineup.Placement;
import hardpan.shoot.PictureFrames;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What is said of a source's place, and of the places there are to choose from. */
final class PlaceWords {
  private static final double SAME_SECONDS = 5e-7;

  private PlaceWords() {}

  /** Where it starts, in seconds and pictures. */
  static String offsetWords(double offset, PictureFrames count) {
    return Texts.of(
        "place.offset",
        Numbers.signedSeconds(offset, 6),
        Numbers.signed(offset * count.perSecond(), 2),
        count.label(offset));
  }

  /** {@code Starts at 0:07.961, 39 ms earlier than found}. */
  static String headWords(@Nullable Double offset, @Nullable Double before) {
    if (offset == null) {
      return Texts.of("place.none");
    }
    String starts = Texts.of("place.head", Times.clock(offset, 3));
    if (before == null) {
      return starts;
    }
    double change = offset - before;
    if (Math.abs(change) < SAME_SECONDS) {
      return starts + Texts.of("place.head.as-found");
    }
    double size = Math.abs(change);
    String by =
        size < 1
            ? Numbers.plain(size * 1000, size < 0.001 ? 3 : 0) + " ms"
            : Numbers.plain(size, 3) + " s";
    return starts + Texts.of(change < 0 ? "place.head.earlier" : "place.head.later", by);
  }

  /** How far it was moved from where it was found; may be empty. */
  static String changeWords(@Nullable Double offset, @Nullable Double before, PictureFrames count) {
    if (before == null) {
      return offset == null ? "" : Texts.of("place.found-unknown");
    }
    if (offset == null) {
      return Texts.of("place.found-at", Numbers.signedSeconds(before, 6));
    }
    double change = offset - before;
    return Math.abs(change) < SAME_SECONDS
        ? Texts.of("place.unchanged")
        : Texts.of(
            "place.changed",
            Numbers.signed(change * 1000, 3),
            Numbers.signed(change * count.perSecond(), 2),
            Numbers.signedSeconds(before, 6));
  }

  /** The places it may be put to; none where there is nothing to choose. */
  static List<PlaceShown.Candidate> candidates(
      @Nullable Placement placement, @Nullable Double offset, @Nullable Double before) {
    List<Double> places = new ArrayList<>();
    if (before != null) {
      places.add(before);
    }
    if (placement != null) {
      Double best = placement.offsetSeconds();
      if (best != null && placement.state() == Placement.State.AMBIGUOUS) {
        places.add(best);
      }
      places.addAll(placement.otherOffsetsSeconds());
    }
    List<PlaceShown.Candidate> candidates = new ArrayList<>();
    for (double at : places) {
      if (candidates.stream().noneMatch(one -> Math.abs(one.offsetSeconds() - at) < 1e-3)) {
        boolean here = offset != null && Math.abs(offset - at) < SAME_SECONDS;
        candidates.add(
            new PlaceShown.Candidate(
                at, Texts.of("place.candidate", Numbers.signedSeconds(at, 3)), here));
      }
    }
    // One place that it has already is no choice.
    return candidates.size() == 1 && candidates.get(0).isHere() ? List.of() : candidates;
  }
}
