package hardpan.desk.model;

import hardpan.shoot.PictureCount;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What there is at the cursor, in words. */
public final class CursorWords {
  /** Closer than this the words tell single samples apart. */
  private static final double FINE_SECONDS = 0.0005;

  private static final String BETWEEN = "  \u00b7  ";

  private CursorWords() {}

  /**
   * Time, timecode and levels.
   *
   * @param seconds the cursor on the reference's clock; NaN for none
   * @param heardSeconds what is heard now; NaN for nothing
   * @param secondsPerPixel how close the picture is
   * @param dayClock the time of day; null where it is not known
   * @param item the chosen source; null for none
   * @param peaks highest sample of each of its channels under the cursor, as it is or upside down;
   *     NaN where it is not known
   */
  public static String of(
      double seconds,
      double heardSeconds,
      double secondsPerPixel,
      @Nullable DayClock dayClock,
      @Nullable ClockItem item,
      float[] peaks) {
    List<String> words = new ArrayList<>();
    if (Double.isNaN(seconds)) {
      words.add(Texts.of("clock.at.none"));
    } else {
      words.add(Texts.of("clock.at", time(seconds, secondsPerPixel)));
      String day = dayClock == null ? "" : dayClock.words(seconds);
      if (!day.isEmpty()) {
        words.add(Texts.of("clock.at.day", day));
      }
      if (item != null && item.reason().isEmpty()) {
        add(words, seconds, item, peaks);
      }
    }
    if (!Double.isNaN(heardSeconds)) {
      words.add(Texts.of("clock.heard", Times.clock(heardSeconds, 1)));
    }
    return String.join(BETWEEN, words);
  }

  /** A moment, as finely as the picture shows it. */
  static String time(double seconds, double secondsPerPixel) {
    return Times.clock(seconds, secondsPerPixel < FINE_SECONDS ? 5 : 3);
  }

  private static void add(List<String> words, double seconds, ClockItem item, float[] peaks) {
    if (!item.isAt(seconds)) {
      words.add(Texts.of("clock.at.elsewhere", item.row().fileName()));
      return;
    }
    PictureCount count = item.count();
    if (count != null) {
      words.add(Texts.of("clock.at.timecode", count.labelAt(item.ownSeconds(seconds))));
    }
    List<String> levels = new ArrayList<>();
    for (int channel = 0; channel < peaks.length; channel++) {
      if (!Float.isNaN(peaks[channel])) {
        levels.add(level(name(channel, peaks.length), peaks[channel]));
      }
    }
    if (!levels.isEmpty()) {
      words.add(
          item.row().fileName() + ", " + Texts.of("clock.at.levels", String.join(", ", levels)));
    }
    List<String> flags = new ArrayList<>();
    for (Flag flag : item.flags()) {
      for (Flag.Stretch stretch : flag.stretches()) {
        if (seconds >= stretch.startSeconds() - 1e-6 && seconds < stretch.endSeconds()) {
          String where =
              flag.channel() < 0 ? item.row().fileName() : name(flag.channel(), peaks.length);
          flags.add(Texts.of("clock.at.flag", flag.words(), where));
          break;
        }
      }
    }
    if (!flags.isEmpty()) {
      words.add(String.join(", ", flags.stream().distinct().toList()));
    }
  }

  private static String level(String name, float peak) {
    return peak > 0
        ? Texts.of("clock.at.level", name, Times.level(20 * Math.log10(peak)))
        : Texts.of("clock.at.silent", name);
  }

  private static String name(int channel, int channels) {
    if (channels == 2) {
      return Texts.of(channel == 0 ? "clock.left" : "clock.right");
    }
    return Texts.of("details.channel", channel + 1);
  }
}
