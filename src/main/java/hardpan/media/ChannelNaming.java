package hardpan.media;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/**
 * Names for the channels of a source with one or more sound streams. A name the file gives wins; a
 * stream without one gets a number where numbers are needed to tell streams apart. An empty name
 * leaves the choice (left and right, or a number) to whoever shows it.
 */
final class ChannelNaming {
  private static final int MAX_LENGTH = 60;

  /** What programs write where a name could stand; from files seen, no source. */
  private static final Set<String> PROGRAM_WORDS =
      Set.of("handler", "core media", "mainconcept", "gpac", "isom", "l-smash", "sound media");

  private ChannelNaming() {}

  /**
   * What a stream says of itself.
   *
   * @param title its title or the name of its handler; empty if it has none
   * @param language its language code; empty or {@code und} if it has none
   * @param channelNames places of the channels in a room, where the codec tells them; else one
   *     empty text a channel
   */
  record Stream(String title, String language, List<String> channelNames) {
    /** Copies the list. */
    Stream {
      channelNames = List.copyOf(channelNames);
    }
  }

  /** One name a channel, over all streams in order. */
  static List<String> names(List<Stream> streams) {
    boolean languagesDiffer =
        streams.stream().map(stream -> language(stream.language())).distinct().count() > 1;
    List<String> names = new ArrayList<>();
    for (int i = 0; i < streams.size(); i++) {
      Stream stream = streams.get(i);
      int count = stream.channelNames().size();
      String own = title(stream.title());
      if (own.isEmpty() && languagesDiffer) {
        own = language(stream.language());
      }
      if (own.isEmpty() && streams.size() > 1 && count > 1) {
        own = "track " + (i + 1);
      }
      for (int c = 0; c < count; c++) {
        names.add(name(own, stream.channelNames().get(c), c, count));
      }
    }
    return names;
  }

  private static String name(String own, String place, int channel, int count) {
    if (own.isEmpty() || count == 1) {
      return own.isEmpty() ? place : own;
    }
    if (!place.isEmpty()) {
      return own + " " + place;
    }
    return own + " " + (count == 2 ? channel == 0 ? "left" : "right" : "" + (channel + 1));
  }

  private static String language(String code) {
    String plain = code.strip();
    return plain.equals("und") ? "" : plain;
  }

  private static String title(String text) {
    String plain = text.replaceAll("\\p{Cntrl}", "").strip();
    String lower = plain.toLowerCase(Locale.ROOT);
    boolean program = lower.equals("soun") || PROGRAM_WORDS.stream().anyMatch(lower::contains);
    return program ? "" : plain.substring(0, Math.min(plain.length(), MAX_LENGTH));
  }
}
