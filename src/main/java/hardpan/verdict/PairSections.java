package hardpan.verdict;

import hardpan.base.Span;
import hardpan.verdict.PairVerdict.Relation;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Gives a clip whose sides relate differently in different parts a verdict for each part. */
final class PairSections {
  private static final double LESS_SURE = 0.9;
  private static final double MIX_CORRELATION = 0.1;

  private PairSections() {}

  private record Judged(PairVerdict verdict, int firstBlock, int endBlock) {
    int blocks() {
      return endBlock - firstBlock;
    }
  }

  /**
   * The verdict with its sections, or that over the whole clip where nothing changes.
   *
   * @param frames length of the clip
   */
  static PairVerdict verdict(PairMeter meter, PairJudge judge, int rateHz, long frames) {
    List<PairStates.Part> parts = new PairStates(meter, rateHz).parts();
    if (parts.size() < 2) {
      return judge.verdict();
    }
    List<Judged> judged = new ArrayList<>();
    for (PairStates.Part part : parts) {
      add(judged, judgedPart(judge, part), judge);
    }
    if (judged.size() < 2 || isMix(judged)) {
      return judge.verdict();
    }
    Map<Relation, Integer> lengths = new LinkedHashMap<>();
    judged.forEach(part -> lengths.merge(part.verdict.relation(), part.blocks(), Integer::sum));
    Relation longest = judged.get(0).verdict.relation();
    for (Map.Entry<Relation, Integer> entry : lengths.entrySet()) {
      longest = entry.getValue() > lengths.getOrDefault(longest, 0) ? entry.getKey() : longest;
    }
    Judged main = judged.get(0);
    for (Judged part : judged) {
      boolean fits = part.verdict.relation() == longest;
      boolean mainFits = main.verdict.relation() == longest;
      main = fits && (!mainFits || part.blocks() > main.blocks()) ? part : main;
    }
    List<PairVerdict.Section> sections = new ArrayList<>();
    for (int i = 0; i < judged.size(); i++) {
      Judged part = judged.get(i);
      long start = (long) part.firstBlock * PairMeter.BLOCK;
      long end =
          i + 1 == judged.size()
              ? frames
              : Math.min(frames, (long) part.endBlock * PairMeter.BLOCK);
      sections.add(new PairVerdict.Section(part.verdict.relation(), new Span(start, end)));
    }
    PairVerdict told = main.verdict;
    return new PairVerdict(
        told.relation(),
        LESS_SURE * told.confidence(),
        told.correlation(),
        told.gainDifferenceDb(),
        told.lagSeconds(),
        told.bleedDb(),
        sections);
  }

  private static Judged judgedPart(PairJudge judge, PairStates.Part part) {
    PairVerdict verdict = judge.verdict(part.firstBlock(), part.endBlock());
    PairVerdict told =
        switch (part.state()) {
          case LEFT_DEAD, RIGHT_DEAD ->
              new PairVerdict(
                  Relation.ONE_SILENT, 0.9, null, verdict.gainDifferenceDb(), null, null);
          case BOTH_DEAD -> new PairVerdict(Relation.BOTH_SILENT, 0.9, null, null, null, null);
          case SAME, INVERTED -> verdict;
          case OTHER -> judge.orOneSilent(verdict, part.firstBlock(), part.endBlock());
        };
    return new Judged(told, part.firstBlock(), part.endBlock());
  }

  /** Parts that say the same are one; a part that says nothing belongs to the one before it. */
  private static void add(List<Judged> judged, Judged next, PairJudge judge) {
    if (judged.isEmpty()) {
      judged.add(next);
      return;
    }
    Judged newest = judged.get(judged.size() - 1);
    Relation relation = next.verdict.relation();
    Relation last = newest.verdict.relation();
    if (relation == last || relation == Relation.UNKNOWN || last == Relation.UNKNOWN) {
      boolean measured = relation != Relation.ONE_SILENT && relation != Relation.BOTH_SILENT;
      PairVerdict both =
          relation == last && measured
              ? judge.verdict(newest.firstBlock, next.endBlock)
              : last == Relation.UNKNOWN ? next.verdict : newest.verdict;
      PairVerdict kept =
          both.relation() == last || last == Relation.UNKNOWN ? both : newest.verdict;
      judged.set(judged.size() - 1, new Judged(kept, newest.firstBlock, next.endBlock));
    } else {
      judged.add(next);
    }
  }

  /** A stereo mix in which at times only the middle sounds: nothing was plugged. */
  private static boolean isMix(List<Judged> judged) {
    boolean stereo = false;
    for (Judged part : judged) {
      Relation relation = part.verdict.relation();
      if (relation == Relation.STEREO) {
        Double lag = part.verdict.lagSeconds();
        Double correlation = part.verdict.correlation();
        stereo |=
            lag != null
                && correlation != null
                && Math.abs(lag) < 3e-5
                && correlation > MIX_CORRELATION;
      } else if (relation != Relation.SAME_SIGNAL && relation != Relation.LOWER_COPY) {
        return false;
      }
    }
    return stereo;
  }
}
