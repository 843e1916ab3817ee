package hardpan.lanes;

import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import java.util.List;

/** Which samples a lane's file needs so that nothing of its sound is lost. */
final class LaneFormats {
  /** A decoded sample beyond this would be cut off in a 24-bit file. */
  private static final double LARGEST_INTEGER = 1 - 1.0 / (1 << 23);

  /**
   * Peaks between samples rise above the samples' own, in clipped sound by some dB; a corrected
   * lane that could reach full scale is written as float.
   */
  private static final double RESAMPLED_ROOM_DB = -6;

  private LaneFormats() {}

  /**
   * For one lane.
   *
   * @param resample whether it takes another clock's rate
   * @param rateHz that rate
   */
  static Lane.Format of(LaneSource source, List<Integer> channels, boolean resample, int rateHz) {
    SourceFacts facts = source.facts();
    double peak = 0;
    for (int channel : channels) {
      Double peakDbfs = source.verdicts().channels().get(channel).peakDbfs();
      if (peakDbfs == null) {
        // Silent, or nobody looked.
        peak = source.verdicts().channels().get(channel).silent() ? peak : Double.MAX_VALUE;
      } else {
        peak = Math.max(peak, Decibels.toAmplitude(peakDbfs));
      }
    }
    if (resample) {
      boolean hot = Decibels.ofAmplitude(peak) > RESAMPLED_ROOM_DB;
      boolean isFloat = hot || facts.sampleForm() == SampleForm.FLOAT;
      return new Lane.Format(isFloat, isFloat ? 32 : 24, rateHz);
    }
    return switch (facts.sampleForm()) {
      case FLOAT -> new Lane.Format(true, 32, facts.rateHz());
      case LOSSY -> {
        boolean isFloat = peak > LARGEST_INTEGER;
        yield new Lane.Format(isFloat, isFloat ? 32 : 24, facts.rateHz());
      }
      case INTEGER -> {
        Integer bits = facts.bitsPerSample();
        int wordBits = bits == null || bits > 24 ? 32 : bits > 16 ? 24 : 16;
        int least = channels.size() == 2 ? 24 : 16;
        yield new Lane.Format(false, Math.max(wordBits, least), facts.rateHz());
      }
    };
  }

  /** What holds the samples of all these lanes, which have one rate. */
  static Lane.Format common(List<Lane> lanes) {
    boolean isFloat = lanes.stream().anyMatch(lane -> lane.format().isFloat());
    int bits = lanes.stream().mapToInt(lane -> lane.format().bits()).max().orElse(24);
    return new Lane.Format(isFloat, isFloat ? 32 : bits, lanes.get(0).format().rateHz());
  }
}
