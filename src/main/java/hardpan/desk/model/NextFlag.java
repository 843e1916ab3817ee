package hardpan.desk.model;

import hardpan.desk.model.ClockModel.FlagPlace;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Finds the finding nearest to a moment. Each kind of finding of a source is searched by halves and
 * gives one candidate at most, since a shoot can have hundreds of thousands of them and the cursor
 * asks whenever it moves.
 */
final class NextFlag {
  /** Less than a sample on is the same moment. */
  private static final double SAME_SECONDS = 1e-6;

  private final double from;
  private final int sign;
  private final int here;
  private @Nullable FlagPlace best;
  private int bestIndex = -1;

  private NextFlag(double from, int sign, int here) {
    this.from = from;
    this.sign = sign;
    this.here = here;
  }

  /**
   * The nearest one ahead.
   *
   * @param from the moment
   * @param reached the source whose finding at that moment was reached already; null for none
   */
  static Optional<FlagPlace> of(
      List<ClockItem> items, double from, @Nullable SourceRow reached, boolean onwards) {
    int here = -1;
    for (int i = 0; i < items.size(); i++) {
      if (items.get(i).row().equals(reached) && hasOneAt(items.get(i), from)) {
        here = i;
      }
    }
    NextFlag search = new NextFlag(from, onwards ? 1 : -1, here);
    for (int i = 0; i < items.size(); i++) {
      search.look(items.get(i), i);
    }
    return Optional.ofNullable(search.best);
  }

  private static boolean isSame(double one, double other) {
    return Math.abs(one - other) <= SAME_SECONDS;
  }

  private static int count(Flag flag) {
    return Math.max(1, flag.stretches().size());
  }

  /** Where one begins; one of the whole clip lies at its start. */
  private static double start(ClockItem item, Flag flag, int number) {
    return flag.stretches().isEmpty()
        ? item.startSeconds()
        : flag.stretches().get(number).startSeconds();
  }

  /** The first that begins no earlier; their number if there is none. */
  private static int firstFrom(ClockItem item, Flag flag, double seconds) {
    int low = 0;
    int high = count(flag);
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (start(item, flag, middle) < seconds) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }

  private static boolean hasOneAt(ClockItem item, double seconds) {
    if (!item.reason().isEmpty()) {
      return false;
    }
    for (Flag flag : item.flags()) {
      int number = firstFrom(item, flag, seconds - SAME_SECONDS);
      if (number < count(flag) && isSame(start(item, flag, number), seconds)) {
        return true;
      }
    }
    return false;
  }

  private void look(ClockItem item, int index) {
    if (!item.reason().isEmpty()) {
      return;
    }
    for (Flag flag : item.flags()) {
      int number =
          sign > 0
              ? firstFrom(item, flag, from - SAME_SECONDS)
              : firstFrom(item, flag, from + 2 * SAME_SECONDS) - 1;
      while (number >= 0 && number < count(flag) && !isAhead(start(item, flag, number), index)) {
        number += sign;
      }
      if (number >= 0 && number < count(flag)) {
        offer(new FlagPlace(item, flag, start(item, flag, number)), index);
      }
    }
  }

  private boolean isAhead(double seconds, int index) {
    return isSame(seconds, from)
        ? here < 0 || sign * (index - here) > 0
        : sign * (seconds - from) > 0;
  }

  private void offer(FlagPlace place, int index) {
    FlagPlace known = best;
    boolean better =
        known == null
            || (isSame(place.seconds(), known.seconds())
                ? index == bestIndex
                    ? place.flag().severity().compareTo(known.flag().severity()) > 0
                    : sign * (index - bestIndex) < 0
                : sign * (place.seconds() - known.seconds()) < 0);
    if (better) {
      best = place;
      bestIndex = index;
    }
  }
}
