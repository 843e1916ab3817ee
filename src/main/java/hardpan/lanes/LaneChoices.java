package hardpan.lanes;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What a person decided about single lanes; it wins over everything that is found. Of several
 * decisions about one thing the last counts.
 *
 * @param channels about channels
 * @param pairs about pairs that carry one signal twice
 */
public record LaneChoices(List<Channel> channels, List<Pair> pairs) {
  /** Nothing is decided. */
  public static final LaneChoices NONE = new LaneChoices(List.of(), List.of());

  private static final int MOST_LETTERS = 200;

  /** Copies the lists. */
  public LaneChoices {
    channels = List.copyOf(channels);
    pairs = List.copyOf(pairs);
  }

  /**
   * About one channel. A lane of two channels goes by the first of them.
   *
   * @param source a source's path in the report or the end of it, the name of a run or of a device
   * @param channel the channel, from 0
   * @param name what its lane is called, or null
   * @param role what it is, or null
   * @param written whether it is written, or null
   */
  public record Channel(
      String source,
      int channel,
      @Nullable String name,
      @Nullable String role,
      @Nullable Boolean written) {
    /** Names are trimmed. */
    public Channel {
      name = trimmed(name);
      role = trimmed(role);
      if (source.isBlank() || channel < 0) {
        throw new IllegalArgumentException("a lane needs a source and a channel");
      }
    }

    private static @Nullable String trimmed(@Nullable String text) {
      if (text == null) {
        return null;
      }
      String plain = text.replaceAll("\\p{Cntrl}+", " ").strip();
      if (plain.isEmpty() || plain.length() > MOST_LETTERS) {
        throw new IllegalArgumentException(
            "a name has at least one letter and at most " + MOST_LETTERS);
      }
      return plain;
    }

    /** Only a name. */
    public static Channel named(String source, int channel, String name) {
      return new Channel(source, channel, name, null, null);
    }

    /** Only a role. */
    public static Channel role(String source, int channel, String role) {
      return new Channel(source, channel, null, role, null);
    }

    /** Only whether it is written. */
    public static Channel written(String source, int channel, boolean written) {
      return new Channel(source, channel, null, null, written);
    }

    private boolean isAbout(Channel other) {
      return source.equals(other.source) && channel == other.channel;
    }

    private Channel over(Channel older) {
      return new Channel(
          source,
          channel,
          name == null ? older.name : name,
          role == null ? older.role : role,
          written == null ? older.written : written);
    }
  }

  /**
   * About a pair whose sides carry one signal.
   *
   * @param source as in {@link Channel}
   * @param merged whether it becomes one lane; else both sides are kept
   */
  public record Pair(String source, boolean merged) {
    /** It needs a source. */
    public Pair {
      if (source.isBlank()) {
        throw new IllegalArgumentException("a pair needs a source");
      }
    }
  }

  /** These, and another decision; what it does not speak of stays. */
  public LaneChoices with(Channel choice) {
    List<Channel> next = new ArrayList<>();
    Channel merged = choice;
    for (Channel older : channels) {
      if (older.isAbout(choice)) {
        merged = choice.over(older);
      } else {
        next.add(older);
      }
    }
    next.add(merged);
    return new LaneChoices(next, pairs);
  }

  /** These, and another decision about a pair. */
  public LaneChoices with(Pair choice) {
    List<Pair> next =
        new ArrayList<>(
            pairs.stream().filter(older -> !older.source().equals(choice.source())).toList());
    next.add(choice);
    return new LaneChoices(channels, next);
  }

  /** These, and older ones where these say nothing. */
  public LaneChoices over(LaneChoices older) {
    LaneChoices all = older;
    for (Channel choice : channels) {
      all = all.with(choice);
    }
    for (Pair choice : pairs) {
      all = all.with(choice);
    }
    return all;
  }

  /** What is decided about a source's channel, if anything. */
  @Nullable Channel of(LaneSource source, int channel) {
    Channel found = null;
    for (Channel choice : channels) {
      if (choice.channel() == channel && fits(choice.source(), source)) {
        found = found == null ? choice : choice.over(found);
      }
    }
    return found;
  }

  /** Whether a pair becomes one lane. */
  boolean merges(LaneSource source) {
    boolean merged = true;
    for (Pair choice : pairs) {
      if (fits(choice.source(), source)) {
        merged = choice.merged();
      }
    }
    return merged;
  }

  private static boolean fits(String name, LaneSource source) {
    return name.equals(source.path())
        || name.equals(source.device())
        || source.files().stream().anyMatch(path -> path.equals(name) || path.endsWith("/" + name));
  }
}
