package hardpan.lineup;

import hardpan.signal.Peaks;

/**
 * Finds the direct path in a correlation that was stacked over all windows of a source.
 *
 * <p>Echoes on the source's side put weaker peaks at smaller delays (the same sound came to the
 * source later), echoes on the reference's side at larger ones. The side with the longer tail tells
 * which of the two stood in the room; the direct path is the outermost strong peak on the other
 * side. The strongest peak alone would often be a reflection, and what lies around it may mislead:
 * around a late reflection most of the room's sound came earlier.
 */
final class DirectPath {
  private static final double TAIL_SECONDS = 0.05;
  private static final double SEARCH_SECONDS = 0.03;
  private static final float TAIL_SHARE = 0.25f;
  private static final double STRONG_SHARE = 0.5;
  private static final double LEAST_HEIGHT = 8;

  /** Noise alone hardly ever reaches this within the stretch that is searched. */
  private static final double LEAST_BESIDE = 6;

  private static final double NEIGHBOUR_SECONDS = 0.0002;

  /** Two stretches of the same noise differ by some hundredths. */
  private static final double TELLING_RATIO = 1.15;

  private DirectPath() {}

  /**
   * What was found.
   *
   * @param lag place of the direct path in samples of the stack, with a fraction
   * @param height its height in units of the stack's scatter, with sign
   * @param highest size of the stack's highest peak in the same units, whichever path that came by
   */
  record Found(double lag, double height, double highest) {
    boolean significant() {
      return highest >= LEAST_HEIGHT;
    }
  }

  /** Looks for the direct path; height 0 if the stack is silent. */
  static Found find(float[] stack, int rateHz) {
    double unit = Peaks.scatter(stack);
    if (unit <= 0) {
      return new Found(0, 0, 0);
    }
    int top = 0;
    for (int i = 1; i < stack.length; i++) {
      if (Math.abs(stack[i]) > Math.abs(stack[top])) {
        top = i;
      }
    }
    int neighbour = Math.max(2, (int) Math.round(NEIGHBOUR_SECONDS * rateHz));
    double least = Math.max(STRONG_SHARE * Math.abs(stack[top]), LEAST_BESIDE * unit);
    int reach = (int) (SEARCH_SECONDS * rateHz);
    int first = top;
    int last = top;
    for (int i = Math.max(neighbour, top - reach);
        i <= Math.min(stack.length - neighbour - 1, top + reach);
        i++) {
      if (Math.abs(stack[i]) >= least && isSummit(stack, i, neighbour)) {
        first = Math.min(first, i);
        last = Math.max(last, i);
      }
    }
    int direct = echoesLieBefore(stack, first, top, last, rateHz) ? last : first;
    return new Found(
        Peaks.refine(stack, direct), stack[direct] / unit, Math.abs(stack[top]) / unit);
  }

  /**
   * Whether the echoes lie at smaller delays than the direct path. Beyond the outermost strong
   * peaks a room's tail tells: on the direct path's side there is none. Where both sides are about
   * alike, what lies around the strongest peak decides.
   */
  private static boolean echoesLieBefore(float[] stack, int first, int top, int last, int rateHz) {
    int tail = (int) (TAIL_SECONDS * rateHz);
    int clear = 2 * Math.max(2, (int) Math.round(NEIGHBOUR_SECONDS * rateHz));
    float most = TAIL_SHARE * Math.abs(stack[top]);
    double before = meanSize(stack, first - tail, first - clear, most);
    double after = meanSize(stack, last + clear + 1, last + tail + 1, most);
    if (first != last && Math.max(before, after) > TELLING_RATIO * Math.min(before, after)) {
      return before > after;
    }
    return meanSize(stack, top - tail, top - clear, most)
        >= meanSize(stack, top + clear + 1, top + tail + 1, most);
  }

  private static boolean isSummit(float[] stack, int index, int neighbour) {
    double height = Math.abs(stack[index]);
    for (int i = index - neighbour; i <= index + neighbour; i++) {
      if (Math.abs(stack[i]) > height) {
        return false;
      }
    }
    return true;
  }

  /** Mean of sizes; single strong peaks, one of which is the direct path, count as weak ones. */
  private static double meanSize(float[] stack, int from, int to, float most) {
    double sum = 0;
    int start = Math.max(0, from);
    int end = Math.min(stack.length, to);
    for (int i = start; i < end; i++) {
      sum += Math.min(most, Math.abs(stack[i]));
    }
    return end > start ? sum / (end - start) : 0;
  }
}
