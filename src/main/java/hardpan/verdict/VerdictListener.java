package hardpan.verdict;

import hardpan.media.BlockListener;
import hardpan.media.SourceFacts;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Measures a source during its decode pass; afterwards gives the verdicts. */
public final class VerdictListener implements BlockListener {
  private final SourceFacts facts;
  private final List<ChannelMeter> channels = new ArrayList<>();
  private final @Nullable PairMeter pair;

  /** For a source; a pair verdict is made for a clip with two channels. */
  public VerdictListener(SourceFacts facts) {
    this.facts = facts;
    for (int i = 0; i < facts.channelCount(); i++) {
      channels.add(new ChannelMeter(facts));
    }
    boolean isPair = facts.kind() == SourceFacts.Kind.CLIP && facts.channelCount() == 2;
    this.pair = isPair ? new PairMeter(facts.rateHz()) : null;
  }

  @Override
  public void onBlock(long startFrame, float[][] planar, int frameCount) {
    for (int i = 0; i < channels.size(); i++) {
      channels.get(i).add(planar[i], frameCount);
    }
    if (pair != null) {
      pair.add(planar[0], planar[1], frameCount);
    }
  }

  /** The verdicts; call once, after the last block. */
  public Verdicts finish() {
    List<ChannelVerdict> verdicts = new ArrayList<>();
    for (ChannelMeter meter : channels) {
      meter.finish();
      verdicts.add(ChannelJudge.judge(meter, facts));
    }
    PairVerdict pairVerdict = null;
    if (pair != null) {
      pair.finish();
      boolean leftActive = ChannelJudge.hasActivity(channels.get(0), facts);
      boolean rightActive = ChannelJudge.hasActivity(channels.get(1), facts);
      PairJudge.Side left = new PairJudge.Side(verdicts.get(0), leftActive);
      PairJudge.Side right = new PairJudge.Side(verdicts.get(1), rightActive);
      PairJudge judge = new PairJudge(pair, facts.rateHz(), left, right);
      long frames = channels.get(0).frames();
      pairVerdict = PairSections.verdict(pair, judge, facts.rateHz(), frames);
      if (pairVerdict.changes()) {
        Finding finding = PairChange.finding(pairVerdict, facts.rateHz());
        verdicts.replaceAll(channel -> channel.with(finding));
      }
    }
    return new Verdicts(verdicts, pairVerdict);
  }
}
