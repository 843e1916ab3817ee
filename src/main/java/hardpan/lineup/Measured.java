package hardpan.lineup;

import hardpan.signal.StraightLine;
import java.util.List;

/**
 * A measured place.
 *
 * @param points every window's delay
 * @param line the line through them
 * @param inverted whether most windows agree upside down
 * @param unsure whether another way of measuring said otherwise
 * @param later other channels that hear the event later
 */
record Measured(
    Proof proof,
    int referenceChannel,
    List<LineVote.Point> points,
    StraightLine line,
    boolean inverted,
    boolean unsure,
    List<Later> later) {
  Measured with(List<Later> others) {
    return new Measured(proof, referenceChannel, points, line, inverted, unsure, others);
  }

  Measured asUnsure() {
    return new Measured(proof, referenceChannel, points, line, inverted, true, later);
  }
}
