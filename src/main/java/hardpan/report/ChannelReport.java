package hardpan.report;

import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * One signal of a source. Levels of a silent channel are null.
 *
 * @param index 0 is the first channel
 * @param name {@code left}, {@code right}, or the name the file or the person gave
 * @param peakDbfs highest sample in dBFS
 * @param truePeakDbtp highest point between samples in dBTP (ITU-R BS.1770)
 * @param rmsDbfs root mean square in dBFS
 * @param integratedLufs gated loudness in LUFS (ITU-R BS.1770, EBU R 128)
 * @param loudnessRangeLu loudness range in LU (EBU Tech 3342)
 * @param maxMomentaryLufs loudest 400 ms in LUFS (EBU Tech 3341)
 * @param maxShortTermLufs loudest 3 s in LUFS (EBU Tech 3341)
 * @param noiseFloorDbfs level in the pauses in dBFS
 * @param dcOffset mean of the samples, full scale being 1
 * @param clipping cut tops
 * @param overload too hot a feed
 * @param findings what else was observed
 */
public record ChannelReport(
    int index,
    String name,
    @Nullable Double peakDbfs,
    @Nullable Double truePeakDbtp,
    @Nullable Double rmsDbfs,
    @Nullable Double integratedLufs,
    @Nullable Double loudnessRangeLu,
    @Nullable Double maxMomentaryLufs,
    @Nullable Double maxShortTermLufs,
    @Nullable Double noiseFloorDbfs,
    @Nullable Double dcOffset,
    ClippingReport clipping,
    OverloadReport overload,
    List<FindingReport> findings) {
  /** Rounds and copies. */
  public ChannelReport {
    if (index < 0) {
      throw new IllegalArgumentException("channel index must be 0 or more, not " + index);
    }
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(clipping, "clipping");
    Objects.requireNonNull(overload, "overload");
    peakDbfs = Numbers.orNull(peakDbfs, Numbers.DECIBEL);
    truePeakDbtp = Numbers.orNull(truePeakDbtp, Numbers.DECIBEL);
    rmsDbfs = Numbers.orNull(rmsDbfs, Numbers.DECIBEL);
    integratedLufs = Numbers.orNull(integratedLufs, Numbers.DECIBEL);
    loudnessRangeLu =
        Numbers.notNegativeOrNull(loudnessRangeLu, Numbers.DECIBEL, "loudnessRangeLu");
    maxMomentaryLufs = Numbers.orNull(maxMomentaryLufs, Numbers.DECIBEL);
    maxShortTermLufs = Numbers.orNull(maxShortTermLufs, Numbers.DECIBEL);
    noiseFloorDbfs = Numbers.orNull(noiseFloorDbfs, Numbers.DECIBEL);
    dcOffset = Numbers.orNull(dcOffset, Numbers.LINEAR);
    findings = List.copyOf(findings);
  }
}
