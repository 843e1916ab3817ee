package hardpan.lineup;

import hardpan.lineup.Placement.State;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Moves placed sources so that what they saw coincides, not what they heard. A camera sees at once
 * what it hears late; laid by its sound it shows everything too early by the time the sound needed
 * to reach it. So it goes later by that time, as far as that was measured: where a source has two
 * channels of which one hears later, or where another recording of its device has. The same for the
 * channel of the reference that it was measured against.
 *
 * <p>Where nothing was measured the place stays as it is, and says so: from one microphone's sound
 * alone nobody can tell how far away it stood.
 */
public final class PictureVote {
  /** Measurements of one way that differ by more are not of one way. */
  private static final double SAME_WAY_SECONDS = 0.002;

  private PictureVote() {}

  /**
   * A placed source.
   *
   * @param device sources of one device stood at one place
   * @param placement its place by sound
   */
  public record Heard(String device, Placement placement) {}

  /** A channel of a device; the reference's have no device. */
  private record Ear(@Nullable String device, int channel) {}

  /**
   * Moves what it can.
   *
   * @param heard sources by id
   * @param pinned ids that a person placed; they stay
   * @return all of them, in the same order, with their places by picture as far as known
   */
  public static Map<String, Placement> seen(Map<String, Heard> heard, Set<String> pinned) {
    Map<Ear, List<Double>> late = new HashMap<>();
    Set<Ear> first = new HashSet<>();
    for (Heard one : heard.values()) {
      learn(one, late, first);
    }
    Map<String, Placement> seen = new LinkedHashMap<>();
    for (Map.Entry<String, Heard> entry : heard.entrySet()) {
      Placement placement = entry.getValue().placement();
      boolean isFree = placement.state() == State.PLACED && !pinned.contains(entry.getKey());
      seen.put(entry.getKey(), isFree ? moved(entry.getValue(), late, first) : placement);
    }
    return seen;
  }

  private static void learn(Heard one, Map<Ear, List<Double>> late, Set<Ear> first) {
    Placement placement = one.placement();
    Integer channel = placement.channel();
    Integer referenceChannel = placement.referenceChannel();
    if (placement.state() != State.PLACED || channel == null || referenceChannel == null) {
      return;
    }
    for (Later later : placement.notes().later()) {
      if (later.isFlight()) {
        String device = later.ofReference() ? null : one.device();
        late.computeIfAbsent(new Ear(device, later.channel()), ear -> new ArrayList<>())
            .add(later.seconds());
        first.add(new Ear(device, later.ofReference() ? referenceChannel : channel));
      }
    }
  }

  private static Placement moved(Heard one, Map<Ear, List<Double>> late, Set<Ear> first) {
    Placement placement = one.placement();
    Integer channel = placement.channel();
    Integer referenceChannel = placement.referenceChannel();
    Double own = channel == null ? null : flight(new Ear(one.device(), channel), late, first);
    // Of a reference's channel that nobody found late, nothing is to be taken away.
    Double there =
        referenceChannel == null ? null : flight(new Ear(null, referenceChannel), late, first);
    if (own == null || !placement.via().isEmpty()) {
      return placement.shifted(
          0,
          placement.why()
              + " How long the sound needed to reach it is not known, so it stays placed by its"
              + " sound.");
    }
    double flight = own - (there == null ? 0 : there);
    Placement seen =
        placement.shifted(
            flight,
            placement.why()
                + String.format(
                    Locale.ROOT,
                    " Placed by picture: the sound reached it %.1f ms after the reference's feed.",
                    1000 * flight));
    Placement.Notes notes = seen.notes();
    return seen.with(
        new Placement.Notes(notes.otherPlaces(), notes.later(), true, flight, notes.bend()));
  }

  /** How much later a channel hears than its neighbour; null if that is not known. */
  private static @Nullable Double flight(Ear ear, Map<Ear, List<Double>> late, Set<Ear> first) {
    List<Double> times = late.get(ear);
    if (times == null) {
      return first.contains(ear) ? (Double) 0.0 : null;
    }
    double[] values = times.stream().mapToDouble(Double::doubleValue).toArray();
    double middle = Statistics.median(values);
    boolean agree =
        Arrays.stream(values).allMatch(value -> Math.abs(value - middle) <= SAME_WAY_SECONDS);
    // A microphone that now hears first and now late belongs to one of several who speak.
    return agree && !first.contains(ear) ? (Double) middle : null;
  }
}
