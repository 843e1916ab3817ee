package hardpan.bench;

import hardpan.base.Span;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict.Relation;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One clip of known truth, before it is written.
 *
 * @param kind what it is, in a few words
 * @param index its number in its family; with the seed it makes the trial again
 * @param rateHz sample rate
 * @param codec how it is to be written
 * @param sound one array a channel, not yet rounded
 * @param sections how left and right relate, in order of time; empty where that is not asked
 * @param sides what is true of each channel
 */
record Trial(
    String kind,
    int index,
    int rateHz,
    TrialCodec codec,
    float[][] sound,
    List<Section> sections,
    List<Side> sides) {
  /**
   * A stretch with one relation.
   *
   * @param startFrame its first frame
   */
  record Section(Relation relation, long startFrame) {}

  /** What to make of a channel that was cut off, or was not. */
  enum Cut {
    /** Not cut off. */
    NONE,
    /** Cut off by at least 2 dB. */
    CUT,
    /** By less, or in a way that nobody is asked about. */
    NOT_ASKED
  }

  /**
   * What is true of one channel.
   *
   * @param cut whether it was cut off
   * @param hard whether the cut was a corner, not a bend
   * @param excessDb how far the programme would have gone beyond its ceiling; NaN if not asked
   * @param overload the word it should get; null if not asked
   * @param cuts where samples were cut, neighbours within 50 ms merged; empty if not asked
   * @param humHz fundamental of a hum that must be found, 0 where there is none, NaN if not asked
   * @param finding code of another finding that must be there; empty for none, null if not asked
   */
  record Side(
      Cut cut,
      boolean hard,
      double excessDb,
      Overload.@Nullable Verdict overload,
      List<Span> cuts,
      double humHz,
      @Nullable String finding) {
    /** Nothing is asked. */
    static final Side OPEN =
        new Side(Cut.NOT_ASKED, false, Double.NaN, null, List.of(), Double.NaN, null);

    /** Nothing is wrong with the level. */
    static final Side FINE =
        new Side(Cut.NONE, false, Double.NaN, Overload.Verdict.NONE, List.of(), 0, null);

    Side withHum(double hz) {
      return new Side(cut, hard, excessDb, overload, cuts, hz, finding);
    }

    Side withFinding(@Nullable String code) {
      return new Side(cut, hard, excessDb, overload, cuts, humHz, code);
    }
  }
}
