package hardpan.verdict;

import hardpan.signal.Decibels;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Where in a clip the two sides begin to relate differently: a plug pulled, pushed in or changed.
 *
 * <p>Each block of the {@link PairMeter} speaks for or against being the same on both sides, upside
 * down, something else, or without a signal on one side or both; the cheapest course through all
 * blocks is taken, a change costing as much as several seconds of blocks that disagree (the
 * algorithm is A. Viterbi's, 1967).
 *
 * <p>A side counts as unplugged only while it stays quieter than it ever is elsewhere: a microphone
 * whose talker pauses still hears the room.
 */
final class PairStates {
  /** What a stretch of blocks is. */
  enum State {
    SAME(0),
    INVERTED(1),
    OTHER(2),
    LEFT_DEAD(3),
    RIGHT_DEAD(4),
    BOTH_DEAD(5);

    /** Place in the arrays of costs. */
    private final int place;

    State(int place) {
      this.place = place;
    }
  }

  /**
   * A stretch.
   *
   * @param firstBlock its first block
   * @param endBlock end, exclusive
   */
  record Part(State state, int firstBlock, int endBlock) {
    int blocks() {
      return endBlock - firstBlock;
    }
  }

  private static final State[] STATES = State.values();
  private static final double CHANGE_COST = 12;
  private static final double LEAST_SECONDS = 4;
  private static final double TWIN = 0.97;
  private static final double INNER_TWIN = 0.9;
  private static final double MOST_GAIN_DB = 30;
  private static final double ACTIVE_RANGE_DB = 25;
  private static final double LEAST_DBFS = -95;

  /** An unplugged side does not vary by more than this. */
  private static final double DEAD_RANGE_DB = 4;

  /** And elsewhere it is never that quiet. */
  private static final double ALIVE_ABOVE_DB = 5;

  private final PairMeter meter;
  private final int leastBlocks;

  PairStates(PairMeter meter, int rateHz) {
    this.meter = meter;
    this.leastBlocks = (int) Math.ceil(LEAST_SECONDS * rateHz / PairMeter.BLOCK);
  }

  /** The parts of the clip, one if nothing changes. */
  List<Part> parts() {
    int count = meter.count();
    if (count < 2 * leastBlocks) {
      return List.of(new Part(State.OTHER, 0, count));
    }
    double[] left = new double[count];
    double[] right = new double[count];
    for (int i = 0; i < count; i++) {
      left[i] = Math.max(-150, Decibels.ofPower(meter.leftPower(i)));
      right[i] = Math.max(-150, Decibels.ofPower(meter.rightPower(i)));
    }
    boolean[] leftDead = dead(left);
    boolean[] rightDead = dead(right);
    double top = Math.max(Statistics.quantile(left, 0.95), Statistics.quantile(right, 0.95));
    double[][] costs = new double[count][];
    for (int i = 0; i < count; i++) {
      boolean active = Math.max(left[i], right[i]) > Math.max(LEAST_DBFS, top - ACTIVE_RANGE_DB);
      costs[i] = costs(i, leftDead[i], rightDead[i], active);
    }
    return joined(cheapest(costs));
  }

  /** Long stretches in which a side is quieter than it ever is elsewhere. */
  private boolean[] dead(double[] levels) {
    boolean[] dead = new boolean[levels.length];
    double floor = Statistics.quantile(levels, 0.05);
    boolean[] quiet = new boolean[levels.length];
    for (int i = 0; i < levels.length; i++) {
      quiet[i] = levels[i] <= floor + DEAD_RANGE_DB;
    }
    int start = 0;
    double quietestElsewhere = Double.POSITIVE_INFINITY;
    int deadBlocks = 0;
    for (int i = 0; i <= levels.length; i++) {
      if (i < levels.length && quiet[i]) {
        continue;
      }
      if (i - start >= leastBlocks) {
        Arrays.fill(dead, start, i, true);
        deadBlocks += i - start;
      }
      start = i + 1;
    }
    for (int i = 0; i < levels.length; i++) {
      // The blocks beside a change hold some of both.
      boolean beside = dead[Math.max(0, i - 1)] || dead[Math.min(levels.length - 1, i + 1)];
      if (!dead[i] && !beside) {
        quietestElsewhere = Math.min(quietestElsewhere, levels[i]);
      }
    }
    boolean told =
        deadBlocks < levels.length && quietestElsewhere > floor + DEAD_RANGE_DB + ALIVE_ABOVE_DB;
    return told ? dead : new boolean[levels.length];
  }

  private double[] costs(int block, boolean leftDead, boolean rightDead, boolean active) {
    if (leftDead || rightDead) {
      State is =
          leftDead && rightDead ? State.BOTH_DEAD : leftDead ? State.LEFT_DEAD : State.RIGHT_DEAD;
      return only(is);
    }
    double[] costs = new double[STATES.length];
    Arrays.fill(costs, 1);
    if (!active) {
      // A pause speaks for neither.
      costs[State.SAME.place] = 0;
      costs[State.INVERTED.place] = 0;
      costs[State.OTHER.place] = 0;
      return costs;
    }
    double l = meter.leftPower(block);
    double r = meter.rightPower(block);
    double whole = meter.product(block) / Math.sqrt(l * r + Float.MIN_NORMAL);
    double inner =
        meter.innerProduct(block)
            / Math.sqrt(meter.innerLeft(block) * meter.innerRight(block) + Float.MIN_NORMAL);
    boolean near = Math.abs(Decibels.ofPower((r + 1e-15) / (l + 1e-15))) <= MOST_GAIN_DB;
    boolean same = near && (whole >= TWIN || (whole > 0.7 && inner >= INNER_TWIN));
    boolean inverted = near && (whole <= -TWIN || (whole < -0.7 && inner <= -INNER_TWIN));
    return only(same ? State.SAME : inverted ? State.INVERTED : State.OTHER);
  }

  private static double[] only(State state) {
    double[] costs = new double[STATES.length];
    Arrays.fill(costs, 1);
    costs[state.place] = 0;
    return costs;
  }

  private static int[] cheapest(double[][] costs) {
    int states = STATES.length;
    byte[][] from = new byte[costs.length][states];
    double[] sum = costs[0].clone();
    for (int i = 1; i < costs.length; i++) {
      int best = 0;
      for (int s = 1; s < states; s++) {
        best = sum[s] < sum[best] ? s : best;
      }
      double[] next = new double[states];
      for (int s = 0; s < states; s++) {
        boolean change = sum[best] + CHANGE_COST < sum[s];
        from[i][s] = (byte) (change ? best : s);
        next[s] = costs[i][s] + (change ? sum[best] + CHANGE_COST : sum[s]);
      }
      sum = next;
    }
    int[] course = new int[costs.length];
    int at = 0;
    for (int s = 1; s < states; s++) {
      at = sum[s] < sum[at] ? s : at;
    }
    for (int i = costs.length - 1; i >= 0; i--) {
      course[i] = at;
      at = from[i][at];
    }
    return course;
  }

  private List<Part> joined(int[] course) {
    List<Part> parts = new ArrayList<>();
    int start = 0;
    for (int i = 1; i <= course.length; i++) {
      if (i == course.length || course[i] != course[start]) {
        Part newest = parts.isEmpty() ? null : parts.get(parts.size() - 1);
        State state = STATES[course[start]];
        if (newest != null && (newest.state() == state || i - start < leastBlocks)) {
          parts.set(parts.size() - 1, new Part(newest.state(), newest.firstBlock(), i));
        } else {
          parts.add(new Part(state, start, i));
        }
        start = i;
      }
    }
    return parts;
  }
}
