package hardpan.lineup;

import hardpan.signal.StraightLine;
import java.util.List;

/**
 * A measured place.
 *
 * @param points every window's delay
 * @param line the line through them
 * @param inverted whether most windows agree upside down
 * @param later other channels that hear the event later
 */
record Measured(
    Proof proof,
    int referenceChannel,
    List<LineVote.Point> points,
    StraightLine line,
    boolean inverted,
    List<Later> later) {
  Measured with(List<Later> others) {
    return new Measured(proof, referenceChannel, points, line, inverted, others);
  }
}
