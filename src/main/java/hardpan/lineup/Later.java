package hardpan.lineup;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * Another channel that hears the same event later: a microphone in the room beside a direct feed.
 *
 * @param ofReference whether it is a channel of the reference, not of the source
 * @param channel its number, from 0
 * @param seconds by how much later, above 0
 */
public record Later(boolean ofReference, int channel, double seconds) {
  /** Speed of sound in dry air at 20 degrees Celsius (ISO 9613-1, annex A, gives 343.2 m/s). */
  static final double METRES_A_SECOND = 343.2;

  private static final double LEAST_SECONDS = 0.001;
  private static final double MOST_SECONDS = 0.2;

  /** Whether it is late enough to be told from wires, and not so late that it is an echo. */
  public boolean isFlight() {
    return seconds >= LEAST_SECONDS && seconds <= MOST_SECONDS;
  }

  /** Sentences about all of them, each with a space before; empty if there are none. */
  static String words(List<Later> all) {
    List<String> words = new ArrayList<>();
    for (Later later : all) {
      if (later.isFlight()) {
        words.add(
            String.format(
                Locale.ROOT,
                " %s %d hears it %.1f ms later: %.1f m of air.",
                later.ofReference ? "The reference's channel" : "Channel",
                later.channel + 1,
                1000 * later.seconds,
                METRES_A_SECOND * later.seconds));
      }
    }
    return String.join("", words);
  }
}
