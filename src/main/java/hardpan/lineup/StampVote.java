package hardpan.lineup;

import hardpan.lineup.Placement.State;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Decides between places that fit about equally by the sound, by what the device's clock showed as
 * the recording began. How far that clock is off is learned from other recordings of the device
 * that found their place by sound; a clock that shows the wrong hour or year does no harm so long
 * as it goes on doing so. Where the clock does not say clearly which place it is, nothing is
 * decided, and no source gets a place that its sound does not know.
 */
public final class StampVote {
  /** Places of the same device that a clock must agree with before it is asked. */
  private static final int LEAST_SIBLINGS = 2;

  private static final double SURE_ENOUGH = 0.9;

  /** Stamps count whole seconds, and some are written a little late. */
  private static final double AGREES_SECONDS = 5;

  private static final double NEAR_SECONDS = 10;
  private static final double CLEARLY_FARTHER = 3;
  private static final double CLEARLY_SECONDS = 30;

  /** Below that of a place that only fits once; a choice, not a measured share. */
  private static final double CONFIDENCE = 0.75;

  private StampVote() {}

  /**
   * What a device's clock showed.
   *
   * @param kind where it was found; only stamps of one kind are compared
   * @param seconds seconds since any fixed moment, the same for all stamps of a kind
   */
  public record Stamp(String kind, double seconds) {}

  /**
   * Another recording of the same device.
   *
   * @param placement its place
   * @param stamps what the clock showed at its first frame
   */
  public record Sibling(Placement placement, List<Stamp> stamps) {
    /** Copies the list. */
    public Sibling {
      stamps = List.copyOf(stamps);
    }
  }

  /**
   * Decides if it can.
   *
   * @param placement any placement; only an ambiguous one with other places may be changed
   * @param stamps what the clock showed at the source's first frame, the most trusted first
   * @param siblings other recordings of the device
   * @return the placement itself, or the same one as placed at one of its places
   */
  public static Placement decided(Placement placement, List<Stamp> stamps, List<Sibling> siblings) {
    Double own = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    if (placement.state() != State.AMBIGUOUS
        || placement.otherPlaces().isEmpty()
        || own == null
        || drift == null) {
      return placement;
    }
    List<Placement.Other> places = new ArrayList<>();
    double others = placement.otherPlaces().stream().mapToDouble(Placement.Other::confidence).sum();
    places.add(new Placement.Other(own, drift, placement.inverted(), Math.max(0, 1 - others)));
    places.addAll(placement.otherPlaces());
    Placement.Other chosen = null;
    String says = "";
    for (Stamp stamp : stamps) {
      Known clock = known(stamp.kind(), siblings);
      if (clock == null) {
        continue;
      }
      double expected = stamp.seconds() - clock.ahead;
      Placement.Other place = clearly(places, expected);
      if (place == null || (chosen != null && !chosen.equals(place))) {
        // Clocks that say nothing clear, or two that contradict each other, decide nothing.
        return placement;
      }
      if (chosen == null) {
        says =
            String.format(
                Locale.ROOT,
                "The clock of its device, known from %d of its recordings to %.0f s, shows %.0f s"
                    + " from here and decided; the sound alone did not.",
                clock.count,
                Math.max(1, clock.spread),
                Math.abs(expected - place.offsetSeconds()));
      }
      chosen = place;
    }
    return chosen == null ? placement : at(chosen, places, placement, says);
  }

  /** By how much a device's clock is ahead of the reference, from so many recordings. */
  private record Known(double ahead, double spread, int count) {}

  private static @Nullable Known known(String kind, List<Sibling> siblings) {
    List<Double> ahead = new ArrayList<>();
    for (Sibling sibling : siblings) {
      Double offset = sibling.placement().offsetSeconds();
      if (sibling.placement().state() != State.PLACED
          || sibling.placement().confidence() < SURE_ENOUGH
          || offset == null) {
        continue;
      }
      sibling.stamps().stream()
          .filter(stamp -> stamp.kind().equals(kind))
          .findFirst()
          .ifPresent(stamp -> ahead.add(stamp.seconds() - offset));
    }
    if (ahead.size() < LEAST_SIBLINGS) {
      return null;
    }
    double[] values = ahead.stream().mapToDouble(Double::doubleValue).toArray();
    double middle = Statistics.median(values);
    double spread = 0;
    for (double value : values) {
      spread = Math.max(spread, Math.abs(value - middle));
    }
    return spread > AGREES_SECONDS ? null : new Known(middle, spread, values.length);
  }

  /** The place that an expected one is near to and clearly nearer than to any other; or null. */
  private static Placement.@Nullable Other clearly(
      List<Placement.Other> places, double expectedSeconds) {
    List<Placement.Other> sorted =
        places.stream()
            .sorted(
                Comparator.comparingDouble(
                    (Placement.Other place) -> distance(place, expectedSeconds)))
            .toList();
    double near = distance(sorted.get(0), expectedSeconds);
    double next = distance(sorted.get(1), expectedSeconds);
    return near <= NEAR_SECONDS && next >= CLEARLY_FARTHER * near && next >= CLEARLY_SECONDS
        ? sorted.get(0)
        : null;
  }

  private static double distance(Placement.Other place, double expectedSeconds) {
    return Math.abs(place.offsetSeconds() - expectedSeconds);
  }

  private static Placement at(
      Placement.Other chosen, List<Placement.Other> places, Placement before, String says) {
    boolean isFirst = chosen.equals(places.get(0));
    return new Placement(
        State.PLACED,
        chosen.offsetSeconds(),
        chosen.driftPpm(),
        chosen.inverted(),
        CONFIDENCE,
        isFirst ? before.residualMs() : null,
        before.overlapSeconds(),
        before.channel(),
        before.referenceChannel(),
        before.why() + " " + says,
        isFirst ? before.windows() : List.of(),
        before.via(),
        new Placement.Notes(
            places.stream().filter(place -> !place.equals(chosen)).toList(),
            before.notes().later(),
            false,
            null,
            null));
  }
}
