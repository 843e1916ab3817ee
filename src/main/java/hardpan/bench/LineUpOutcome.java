package hardpan.bench;

import hardpan.lineup.Candidate;
import hardpan.lineup.Placement;
import java.util.Locale;

/**
 * What became of a trial.
 *
 * @param offsetSeconds true place of the clip's first frame
 * @param commonSeconds how long clip and reference truly run together; 0 for a stranger
 * @param roomSound whether a room lies on either side
 * @param referenceSeconds length of the reference
 * @param placement what the line-up says
 * @param placeSeconds how long it took
 */
record LineUpOutcome(
    LineUpTrial trial,
    double offsetSeconds,
    double commonSeconds,
    boolean roomSound,
    double referenceSeconds,
    Placement placement,
    double placeSeconds) {
  /** Half a picture at 25 a second would be seen; this is what counts as the wrong place. */
  static final double WRONG_MS = 10;

  /** In a word. */
  enum Word {
    RIGHT,
    WRONG,
    AMBIGUOUS,
    REFUSED
  }

  static LineUpOutcome of(
      LineUpTrial trial,
      LineUpReference reference,
      Candidate clip,
      double flightSeconds,
      Placement placement,
      double placeSeconds) {
    double offset = trial.startSeconds() - flightSeconds + reference.delaySeconds();
    double seconds = (double) clip.frameCount() / clip.rateHz();
    double length = reference.kind().seconds();
    double common = trial.belongs() ? Math.min(length, offset + seconds) - Math.max(0, offset) : 0;
    return new LineUpOutcome(
        trial,
        offset,
        common,
        trial.feed() == LineUpTrial.Feed.FAR || reference.delaySeconds() > 0,
        length,
        placement,
        placeSeconds);
  }

  Word word() {
    return switch (placement.state()) {
      case UNPLACED -> Word.REFUSED;
      case AMBIGUOUS -> Word.AMBIGUOUS;
      case PLACED -> trial.belongs() && worstMs() <= WRONG_MS ? Word.RIGHT : Word.WRONG;
    };
  }

  /**
   * Error in ms where the common sound starts (0), at its middle (0.5) or its end (1); NaN without
   * a place.
   */
  double errorMs(double share) {
    Double found = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    if (found == null || drift == null) {
      return Double.NaN;
    }
    double at = Math.max(0, -offsetSeconds) + share * commonSeconds;
    return 1000 * (found - offsetSeconds + at * (drift - trial.driftPpm()) * 1e-6);
  }

  double worstMs() {
    return Math.max(Math.abs(errorMs(0)), Math.max(Math.abs(errorMs(0.5)), Math.abs(errorMs(1))));
  }

  double driftErrorPpm() {
    Double drift = placement.driftPpm();
    return drift == null ? Double.NaN : drift - trial.driftPpm();
  }

  /** One line with everything, for looking at single trials. */
  String line() {
    return String.format(
        Locale.ROOT,
        "%d\t%s\tref %d\t%s\t%s\t%.1f s\tcommon %.1f s\tsnr %.1f\t%s\tdrr %.1f\trt %.2f\t%+.1f ppm"
            + "\t%d\t%s\tagc %b\tover %.1f\terr %.4f %.4f %.4f ms\tdrift %+.3f\tconf %.2f\t%.3f s"
            + "\ttrue %.6f\t%s",
        trial.number(),
        word(),
        trial.reference(),
        trial.relation(),
        trial.feed(),
        trial.clipSeconds(),
        commonSeconds,
        trial.snrDb(),
        trial.noise(),
        trial.directToRestDb(),
        trial.fadeSeconds(),
        trial.driftPpm(),
        trial.rateHz(),
        trial.codec(),
        trial.leveller(),
        trial.overDb(),
        errorMs(0),
        errorMs(0.5),
        errorMs(1),
        driftErrorPpm(),
        placement.confidence(),
        placeSeconds,
        offsetSeconds,
        placement.why());
  }
}
