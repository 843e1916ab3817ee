package hardpan.verdict;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What was measured on one channel and what it means. Levels that silence does not have are null.
 *
 * @param peakDbfs largest sample, 0 dB being full scale
 * @param rmsDbfs level over the whole length, 0 dB being a full-scale square wave
 * @param noiseFloorDbfs level that the quietest twentieth of the 50 ms stretches stays below
 * @param activeDbfs level of the loud passages: 95 % of the 50 ms stretches stay below
 * @param dcOffset mean of all samples, full scale being 1
 * @param silent whether nothing but silence or faint noise was recorded
 * @param clipping cut-off tops
 * @param overload how much too hot
 * @param findings everything worth saying, worst first
 */
public record ChannelVerdict(
    @Nullable Double peakDbfs,
    @Nullable Double rmsDbfs,
    @Nullable Double noiseFloorDbfs,
    @Nullable Double activeDbfs,
    double dcOffset,
    boolean silent,
    Clipping clipping,
    Overload overload,
    List<Finding> findings) {
  /** Copies the list. */
  public ChannelVerdict {
    findings = List.copyOf(findings);
  }

  /** The same with one more finding, in its place by severity. */
  ChannelVerdict with(Finding finding) {
    List<Finding> all = new ArrayList<>(findings);
    all.add(finding);
    all.sort(Comparator.comparing(Finding::severity).reversed());
    return withFindings(all);
  }

  /**
   * The same, the excess having been read off a recorder that holds the sound uncut.
   *
   * @param excessDb in dB, 0 or more; a channel that was not cut off stays as it is
   * @param uncertaintyDb nine of ten such figures are this close
   */
  public ChannelVerdict withExcess(double excessDb, double uncertaintyDb) {
    if (!clipping.clipped()) {
      return this;
    }
    Overload known = ClippingJudge.overload(excessDb, clipping.shareOfActive());
    List<Finding> all = new ArrayList<>();
    for (Finding finding : findings) {
      all.add(
          finding.code().equals("clipping")
              ? ClippingFinding.of(clipping, known, uncertaintyDb)
              : finding);
    }
    return new ChannelVerdict(
        peakDbfs, rmsDbfs, noiseFloorDbfs, activeDbfs, dcOffset, silent, clipping, known, all);
  }

  /** The same with other findings. */
  public ChannelVerdict withFindings(List<Finding> newFindings) {
    return new ChannelVerdict(
        peakDbfs,
        rmsDbfs,
        noiseFloorDbfs,
        activeDbfs,
        dcOffset,
        silent,
        clipping,
        overload,
        newFindings);
  }
}
