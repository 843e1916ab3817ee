package hardpan.base;

import java.util.ArrayList;
import java.util.List;

/**
 * Where the seconds of a source lie on the reference: <i>reference seconds = offset + source
 * seconds x (1 + drift x 1e-6) + bend</i>. The bend is a continuous line of straight pieces; a
 * straight clock has none. Everything that turns a source's time into the shoot's asks this.
 *
 * <p>Immutable. Strictly rising, so that it can be asked both ways.
 */
public final class SourceClock {
  private final double offsetSeconds;
  private final double driftPpm;

  /** Where pieces end, in source seconds, and how far beside the straight line; empty if none. */
  private final double[] knots;

  private final double[] beside;

  private SourceClock(double offsetSeconds, double driftPpm, double[] knots, double[] beside) {
    this.offsetSeconds = offsetSeconds;
    this.driftPpm = driftPpm;
    this.knots = knots;
    this.beside = beside;
  }

  /**
   * A piece of the clock.
   *
   * @param fromSourceSeconds where it begins; minus infinity for the first
   * @param slope reference seconds in a second of the source, above 0
   */
  public record Piece(double fromSourceSeconds, double slope) {}

  /**
   * A clock that keeps its speed.
   *
   * @param offsetSeconds reference seconds at the source's second 0
   * @param driftPpm how much longer its second is, above -1e6
   * @throws IllegalArgumentException if it does not run forward, or a number is not finite
   */
  public static SourceClock straight(double offsetSeconds, double driftPpm) {
    return bent(offsetSeconds, driftPpm, new double[0], new double[0]);
  }

  /**
   * A clock that bends.
   *
   * @param offsetSeconds reference seconds of the straight line at the source's second 0
   * @param driftPpm how much longer its second is by the straight line
   * @param knotSeconds source seconds of both ends and of the knees between, ascending: none, or at
   *     least two; the outer pieces go on beyond the ends
   * @param besideSeconds what the straight line is short of there, as many
   * @throws IllegalArgumentException if it does not run forward everywhere, or a number is not
   *     finite
   */
  public static SourceClock bent(
      double offsetSeconds, double driftPpm, double[] knotSeconds, double[] besideSeconds) {
    boolean fits = knotSeconds.length == besideSeconds.length && knotSeconds.length != 1;
    if (!fits || !Double.isFinite(offsetSeconds)) {
      throw new IllegalArgumentException(
          "offset " + offsetSeconds + ", " + knotSeconds.length + " knots");
    }
    SourceClock clock =
        new SourceClock(offsetSeconds, driftPpm, knotSeconds.clone(), besideSeconds.clone());
    for (int piece = 0; piece < clock.pieceCount(); piece++) {
      double slope = clock.slope(piece);
      boolean ascends = clock.isStraight() || knotSeconds[piece + 1] > knotSeconds[piece];
      if (!ascends || !(slope > 0 && slope < Double.POSITIVE_INFINITY)) {
        throw new IllegalArgumentException("a clock must run forward, not by " + slope);
      }
    }
    return clock;
  }

  /** Reference seconds of the straight line at the source's second 0. */
  public double offsetSeconds() {
    return offsetSeconds;
  }

  /** How much longer the source's second is than the reference's, by the straight line. */
  public double driftPpm() {
    return driftPpm;
  }

  /** Whether it keeps its speed. */
  public boolean isStraight() {
    return knots.length == 0;
  }

  /** Where a moment of the source lies on the reference. */
  public double referenceSeconds(double sourceSeconds) {
    double straight = offsetSeconds + sourceSeconds * ratio();
    return isStraight() ? straight : straight + besideSeconds(sourceSeconds);
  }

  /** The moment of the source at a place on the reference. */
  public double sourceSeconds(double referenceSeconds) {
    if (isStraight()) {
      return (referenceSeconds - offsetSeconds) / ratio();
    }
    int piece = 0;
    while (piece + 1 < pieceCount() && referenceSeconds > referenceSeconds(knots[piece + 1])) {
      piece++;
    }
    return knots[piece] + (referenceSeconds - referenceSeconds(knots[piece])) / slope(piece);
  }

  /** How far beside its straight line the clock is; 0 if it is straight. */
  public double besideSeconds(double sourceSeconds) {
    if (isStraight()) {
      return 0;
    }
    int piece = 0;
    while (piece + 1 < pieceCount() && sourceSeconds > knots[piece + 1]) {
      piece++;
    }
    return beside[piece] + (sourceSeconds - knots[piece]) * besideSlope(piece);
  }

  /** Its pieces in order; one if it is straight. */
  public List<Piece> pieces() {
    List<Piece> pieces = new ArrayList<>();
    for (int piece = 0; piece < pieceCount(); piece++) {
      pieces.add(new Piece(piece == 0 ? Double.NEGATIVE_INFINITY : knots[piece], slope(piece)));
    }
    return pieces;
  }

  /**
   * How far a source that is laid at the offset and plays at the reference's speed gets away from
   * where it belongs, at most.
   *
   * @param durationSeconds the source's length, at least 0
   */
  public double farthestSeconds(double durationSeconds) {
    double farthest = astray(durationSeconds);
    if (!isStraight()) {
      farthest = Math.max(farthest, astray(0));
      for (double knot : knots) {
        if (knot > 0 && knot < durationSeconds) {
          farthest = Math.max(farthest, astray(knot));
        }
      }
    }
    return farthest;
  }

  private double astray(double sourceSeconds) {
    return isStraight()
        ? Math.abs(driftPpm) * 1e-6 * sourceSeconds
        : Math.abs(driftPpm * 1e-6 * sourceSeconds + besideSeconds(sourceSeconds));
  }

  private double ratio() {
    return 1 + driftPpm * 1e-6;
  }

  private int pieceCount() {
    return Math.max(1, knots.length - 1);
  }

  private double slope(int piece) {
    return isStraight() ? ratio() : ratio() + besideSlope(piece);
  }

  private double besideSlope(int piece) {
    return (beside[piece + 1] - beside[piece]) / (knots[piece + 1] - knots[piece]);
  }
}
