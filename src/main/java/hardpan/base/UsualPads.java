package hardpan.base;

import java.util.List;

/** The in-line attenuators that are usually sold (common practice, no source). */
public final class UsualPads {
  /** Their values in dB, rising. */
  public static final List<Integer> DB = List.of(10, 15, 20, 25, 30, 35, 40);

  private UsualPads() {}

  /**
   * The smallest that takes away at least so much; the largest there is if none does.
   *
   * @param leastDb in dB; not a number gives the largest
   */
  public static int atLeast(double leastDb) {
    for (int pad : DB) {
      if (pad >= leastDb) {
        return pad;
      }
    }
    return DB.get(DB.size() - 1);
  }
}
