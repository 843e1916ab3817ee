package hardpan.lanes;

import hardpan.media.SourceFacts;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Gives the files of a hand-over their names, in the order in which it is asked. A name that is
 * taken, be it in other cases of letters, gets {@code _2}, {@code _3} ... at its end.
 */
final class LaneNames {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT);
  private static final String SEVERAL = "poly";

  private final NameTemplate template;
  private final String shootName;
  private final LaneClock clock;
  private final Set<String> used = new HashSet<>();

  LaneNames(Arrangement arrangement, String shootName, @Nullable SourceFacts reference) {
    this.template = arrangement.names();
    this.shootName = shootName;
    this.clock = LaneClock.of(reference, 0);
  }

  /** A name for a file of these lanes, which are in the order of time. */
  String next(List<Lane> lanes) {
    LaneSource first = lanes.get(0).source();
    Map<NameTemplate.Field, String> values = new EnumMap<>(NameTemplate.Field.class);
    values.put(NameTemplate.Field.SHOOT, shootName);
    values.put(NameTemplate.Field.DEVICE, first.device());
    values.put(NameTemplate.Field.RUN, runs(lanes));
    values.put(NameTemplate.Field.LANE, one(lanes.stream().map(Lane::name).toList(), SEVERAL));
    values.put(NameTemplate.Field.ROLE, one(lanes.stream().map(Lane::role).toList(), SEVERAL));
    values.put(
        NameTemplate.Field.CHANNEL, one(lanes.stream().map(LaneNames::channels).toList(), "all"));
    LocalDateTime start = clock.startOf(first);
    values.put(NameTemplate.Field.DATE, start == null ? "undated" : DAY.format(start));
    boolean refused = first.placement() != null && !first.isPlaced();
    String stem = template.name(values) + (refused ? "_unplaced" : "");
    String name = stem + ".wav";
    for (int number = 2; !used.add(name.toLowerCase(Locale.ROOT)); number++) {
      name = stem + "_" + number + ".wav";
    }
    return name;
  }

  private static String one(List<String> texts, String several) {
    return Set.copyOf(texts).size() == 1 ? texts.get(0) : several;
  }

  private static String channels(Lane lane) {
    List<String> numbers = new ArrayList<>();
    for (int channel : lane.channels()) {
      numbers.add(Integer.toString(channel + 1));
    }
    return String.join("-", numbers);
  }

  private static String runs(List<Lane> lanes) {
    int least = lanes.stream().mapToInt(lane -> lane.source().runNumber()).min().orElse(1);
    int most = lanes.stream().mapToInt(lane -> lane.source().runNumber()).max().orElse(1);
    return least == most ? Integer.toString(least) : least + "-" + most;
  }
}
