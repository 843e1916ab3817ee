package hardpan.lineup;

import hardpan.signal.Peaks;

/**
 * Finds the direct path in a correlation that was stacked over all windows of a source.
 *
 * <p>Echoes on the source's side put weaker peaks at smaller delays (the same sound came to the
 * source later), echoes on the reference's side at larger ones. The side with the longer tail tells
 * which of the two stood in the room; the direct path is the outermost strong peak on the other
 * side. The strongest peak alone would often be a reflection.
 */
final class DirectPath {
  private static final double TAIL_SECONDS = 0.05;
  private static final double SEARCH_SECONDS = 0.025;
  private static final float TAIL_SHARE = 0.25f;
  private static final double STRONG_SHARE = 0.5;
  private static final double LEAST_HEIGHT = 8;
  private static final double NEIGHBOUR_SECONDS = 0.0002;

  private DirectPath() {}

  /**
   * What was found.
   *
   * @param lag place of the direct path in samples of the stack, with a fraction
   * @param height its height in units of the stack's scatter, with sign
   */
  record Found(double lag, double height) {
    boolean significant() {
      return Math.abs(height) >= LEAST_HEIGHT;
    }
  }

  /** Looks for the direct path; height 0 if the stack is silent. */
  static Found find(float[] stack, int rateHz) {
    double unit = Peaks.scatter(stack);
    if (unit <= 0) {
      return new Found(0, 0);
    }
    int top = 0;
    for (int i = 1; i < stack.length; i++) {
      if (Math.abs(stack[i]) > Math.abs(stack[top])) {
        top = i;
      }
    }
    int neighbour = Math.max(2, (int) Math.round(NEIGHBOUR_SECONDS * rateHz));
    int tail = (int) (TAIL_SECONDS * rateHz);
    float most = TAIL_SHARE * Math.abs(stack[top]);
    double before = tail(stack, top - tail, top - 2 * neighbour, most);
    double after = tail(stack, top + 2 * neighbour, top + tail, most);
    int direction = before >= after ? 1 : -1;
    int reach = (int) (SEARCH_SECONDS * rateHz);
    double least = Math.max(STRONG_SHARE * Math.abs(stack[top]), LEAST_HEIGHT * unit);
    int direct = top;
    for (int step = 1; step <= reach; step++) {
      int i = top + direction * step;
      if (i < neighbour || i >= stack.length - neighbour) {
        break;
      }
      if (Math.abs(stack[i]) >= least && isSummit(stack, i, neighbour)) {
        direct = i;
      }
    }
    return new Found(Peaks.refine(stack, direct), stack[direct] / unit);
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

  /** Sum of sizes; single strong peaks, one of which is the direct path, count as weak ones. */
  private static double tail(float[] stack, int from, int to, float most) {
    double sum = 0;
    for (int i = Math.max(0, from); i < Math.min(stack.length, to); i++) {
      sum += Math.min(most, Math.abs(stack[i]));
    }
    return sum;
  }
}
