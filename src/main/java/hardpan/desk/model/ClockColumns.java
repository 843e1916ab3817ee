package hardpan.desk.model;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The clock as columns of round length, each with the moment it begins. */
public final class ClockColumns {
  private static final double[] STEPS_SECONDS = {
    1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400
  };
  private static final int MOST_DECIMALS = 6;

  /**
   * A column.
   *
   * @param fromX its left edge in pixels
   * @param toX its right edge
   * @param words the moment it begins
   * @param dayWords the time of day in whole seconds; empty where it is not known, or the same as
   *     at the column before
   */
  public record Column(int fromX, int toX, String words, String dayWords) {}

  private ClockColumns() {}

  /**
   * The columns that are seen.
   *
   * @param leastPixels width of a column at least
   * @param dayClock the time of day; null where it is not known
   */
  public static List<Column> of(ClockScale scale, double leastPixels, @Nullable DayClock dayClock) {
    double least = leastPixels * scale.secondsPerPixel();
    double step = step(least);
    int decimals = 0;
    while (decimals < MOST_DECIMALS && step < Math.pow(10, -decimals) * 0.999) {
      decimals++;
    }
    List<Column> columns = new ArrayList<>();
    long number = (long) Math.floor(scale.startSeconds() / step);
    String said = "";
    while (number * step < scale.endSeconds()) {
      int fromX = scale.pixel(number * step);
      String day = dayClock == null ? "" : dayClock.words(number * step);
      columns.add(
          new Column(
              fromX,
              scale.pixel((number + 1) * step),
              Times.clock(number * step, decimals),
              day.equals(said) ? "" : day));
      // What begins outside of the picture has its words outside.
      said = fromX < 0 ? "" : day;
      number++;
    }
    return columns;
  }

  private static double step(double least) {
    if (least <= STEPS_SECONDS[0]) {
      // 1, 2 or 5 times a power of ten below a second.
      double power = Math.pow(10, Math.floor(Math.log10(least)));
      for (int times : new int[] {1, 2, 5}) {
        if (times * power >= least) {
          return times * power;
        }
      }
      return 10 * power;
    }
    for (double candidate : STEPS_SECONDS) {
      if (candidate >= least) {
        return candidate;
      }
    }
    double days = STEPS_SECONDS[STEPS_SECONDS.length - 1];
    return days * Math.ceil(least / days);
  }
}
