package hardpan.shoot;

import hardpan.media.BlockListener;
import hardpan.media.SourceFacts;
import hardpan.signal.LoudnessMeter;
import hardpan.signal.TruePeakMeter;
import java.util.ArrayList;
import java.util.List;

/** Measures the loudness of each channel by itself during the decode pass. */
final class LoudnessListener implements BlockListener {
  private final List<LoudnessMeter> loudness = new ArrayList<>();
  private final List<TruePeakMeter> truePeak = new ArrayList<>();

  /** Sources whose rate the standard's filter is not derived for get no loudness. */
  private final boolean measurable;

  private final int channelCount;

  LoudnessListener(SourceFacts facts) {
    int rateHz = facts.rateHz();
    this.channelCount = facts.channelCount();
    this.measurable =
        rateHz >= LoudnessMeter.LOWEST_RATE_HZ && rateHz <= LoudnessMeter.HIGHEST_RATE_HZ;
    for (int i = 0; measurable && i < channelCount; i++) {
      loudness.add(LoudnessMeter.mono(rateHz));
      truePeak.add(new TruePeakMeter(rateHz));
    }
  }

  @Override
  public void onBlock(long startFrame, float[][] planar, int frameCount) {
    for (int i = 0; i < loudness.size(); i++) {
      loudness.get(i).add(planar[i], 0, frameCount);
      truePeak.get(i).add(planar[i], 0, frameCount);
    }
  }

  /** The loudness of each channel. */
  List<Loudness> finish() {
    List<Loudness> result = new ArrayList<>();
    for (int i = 0; i < channelCount; i++) {
      result.add(
          measurable
              ? new Loudness(
                  loudness.get(i).integratedLufs(),
                  loudness.get(i).loudnessRangeLu(),
                  loudness.get(i).maxMomentaryLufs(),
                  loudness.get(i).maxShortTermLufs(),
                  truePeak.get(i).truePeakDbtp())
              : Loudness.NONE);
    }
    return result;
  }
}
