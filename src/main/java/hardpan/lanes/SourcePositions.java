package hardpan.lanes;

import hardpan.base.SourceClock;
import java.util.ArrayList;
import java.util.List;

/**
 * Where in its source every frame of a corrected lane lies: a whole frame and a fraction. Along a
 * straight clock that is {@code first + n x step}. Along a bent one it is a continuous line of such
 * pieces; at a knee only the step changes, by some millionths, and nothing jumps.
 *
 * <p>Nothing is summed up on the way, so that a long lane is as exact as a short one. Within a
 * piece of a bent clock the product is split into its whole and its rest (Dekker, Numer. Math. 18,
 * 1971, by fused multiply-add), so that fractions stay exact to about 1e-15 of a frame after days.
 *
 * <p>Asked frame by frame: {@link #goTo}, then {@link #index} and {@link #fraction}. For one
 * thread.
 */
public final class SourcePositions {
  private final List<Piece> pieces;

  /** The whole way of a straight clock; pieces are empty then. */
  private final double first;

  private final double step;

  /** The piece asked for last. */
  private int at;

  private long index;
  private double fraction;

  private SourcePositions(double first, double step, List<Piece> pieces) {
    if (!(step > 0) || !(first >= -1)) {
      throw new IllegalArgumentException("step " + step + ", first " + first);
    }
    this.first = first;
    this.step = step;
    this.pieces = List.copyOf(pieces);
  }

  /**
   * A piece.
   *
   * @param firstFrame the lane's frame from which it counts
   * @param index where that lies in the source, the whole frame
   * @param fraction and what is beyond it, 0 to 1
   * @param step source frames for one frame of the lane
   */
  private record Piece(long firstFrame, long index, double fraction, double step) {}

  /**
   * Along a straight clock.
   *
   * @param step source frames for one frame of the lane, above 0
   * @param first where the lane's frame 0 lies, at least -1
   */
  public static SourcePositions straight(double step, double first) {
    return new SourcePositions(first, step, List.of());
  }

  /**
   * Along a clock.
   *
   * @param clock the source's
   * @param sourceRateHz the source's rate
   * @param laneRateHz the lane's rate
   * @param startFrame where the lane begins on the reference, in frames of its own rate; at most a
   *     frame before the source
   */
  public static SourcePositions of(
      SourceClock clock, int sourceRateHz, int laneRateHz, long startFrame) {
    double first = clock.sourceSeconds((double) startFrame / laneRateHz) * sourceRateHz;
    double rates = (double) sourceRateHz / laneRateHz;
    List<SourceClock.Piece> clockPieces = clock.pieces();
    double firstStep = rates / clockPieces.get(0).slope();
    if (clockPieces.size() == 1) {
      return straight(firstStep, first);
    }
    List<Piece> pieces = new ArrayList<>();
    for (SourceClock.Piece piece : clockPieces) {
      double step = rates / piece.slope();
      double from = piece.fromSourceSeconds();
      double knee = clock.referenceSeconds(from) * laneRateHz - startFrame;
      if (pieces.isEmpty() || knee <= 0) {
        double floor = Math.floor(first);
        pieces.clear();
        pieces.add(new Piece(0, (long) floor, first - floor, step));
      } else {
        pieces.add(after(pieces.get(pieces.size() - 1), knee, step));
      }
    }
    return new SourcePositions(first, pieces.get(0).step, pieces);
  }

  /** A piece that goes on from another one at a knee, which may lie between two frames. */
  private static Piece after(Piece before, double knee, double step) {
    long frame = (long) Math.ceil(knee);
    SourcePositions there = new SourcePositions(0, before.step, List.of(before));
    there.goTo(frame);
    // Up to the knee the step before counts, from there to the frame the new one.
    double fraction = there.fraction + (frame - knee) * (step - before.step);
    double carry = Math.floor(fraction);
    return new Piece(frame, there.index + (long) carry, fraction - carry, step);
  }

  /** Source frames for one frame of the lane where that is most. */
  double largestStep() {
    return pieces.stream().mapToDouble(Piece::step).max().orElse(step);
  }

  /** Looks for a frame of the lane, from 0. */
  void goTo(long frame) {
    if (pieces.isEmpty()) {
      double position = first + frame * step;
      index = (long) Math.floor(position);
      fraction = position - index;
      return;
    }
    if (frame < pieces.get(at).firstFrame) {
      at = 0;
    }
    while (at + 1 < pieces.size() && frame >= pieces.get(at + 1).firstFrame) {
      at++;
    }
    Piece piece = pieces.get(at);
    double run = frame - piece.firstFrame;
    double product = run * piece.step;
    double rest = Math.fma(run, piece.step, -product);
    double whole = Math.floor(product);
    double beyond = product - whole + (piece.fraction + rest);
    double carry = Math.floor(beyond);
    index = piece.index + (long) (whole + carry);
    fraction = beyond - carry;
  }

  /** The whole frame of the source at or before the frame looked for. */
  long index() {
    return index;
  }

  /** What the frame looked for lies beyond {@link #index}, 0 to 1. */
  double fraction() {
    return fraction;
  }

  /** How many frames of the lane lie before the end of so many frames of the source. */
  long framesWithin(long sourceFrames) {
    if (pieces.isEmpty()) {
      return (long) Math.ceil((sourceFrames - first) / step);
    }
    Piece last = pieces.get(0);
    for (Piece piece : pieces) {
      last = piece.index < sourceFrames ? piece : last;
    }
    double left = sourceFrames - last.index - last.fraction;
    long count = Math.max(0, last.firstFrame + (long) Math.ceil(left / last.step));
    while (count > 0 && !isWithin(count - 1, sourceFrames)) {
      count--;
    }
    while (isWithin(count, sourceFrames)) {
      count++;
    }
    return count;
  }

  private boolean isWithin(long frame, long sourceFrames) {
    goTo(frame);
    return index < sourceFrames;
  }
}
