package hardpan.lanes;

import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Decides which lanes a shoot gives: one for each separate signal, none for silence.
 *
 * <p>They come out each as long as its source and without files; {@link LaneArranger} puts them
 * into files.
 */
public final class LanePlanner {
  private static final int USUAL_RATE_HZ = 48_000;

  private final DriftCorrection correction;
  private final int referenceRateHz;

  private LanePlanner(DriftCorrection correction, int referenceRateHz) {
    this.correction = correction;
    this.referenceRateHz = referenceRateHz;
  }

  /**
   * Plans all lanes and their files.
   *
   * @param sources the sources in the report's order
   * @param reference facts of the reference, null if there is none; corrected lanes take its sample
   *     rate, or 48 kHz
   * @param correction when clocks are corrected
   * @param arrangement how the lanes go into files
   * @param shootName name of the shoot
   */
  public static List<PlannedFile> plan(
      List<LaneSource> sources,
      @Nullable SourceFacts reference,
      DriftCorrection correction,
      Arrangement arrangement,
      String shootName) {
    int rateHz = reference == null ? USUAL_RATE_HZ : reference.rateHz();
    LanePlanner planner = new LanePlanner(correction, rateHz);
    List<Lane> lanes = new ArrayList<>();
    for (LaneSource source : sources) {
      planner.planSource(source, lanes);
    }
    return new LaneArranger(arrangement, rateHz, new LaneNames(arrangement, shootName, reference))
        .files(lanes);
  }

  private void planSource(LaneSource source, List<Lane> lanes) {
    PairVerdict pair = source.verdicts().pair();
    List<ChannelVerdict> channels = source.verdicts().channels();
    if (pair != null && pair.relation() == PairVerdict.Relation.SAME_SIGNAL) {
      boolean rightIsBetter =
          channels.get(1).clipping().clippedSeconds() < channels.get(0).clipping().clippedSeconds();
      boolean line = channels.get(0).overload().verdict() == Overload.Verdict.LINE_LEVEL;
      String role = line ? "console feed" : "microphone";
      lanes.add(lane(source, "mono", role, List.of(rightIsBetter ? 1 : 0)));
    } else if (pair != null && pair.relation() == PairVerdict.Relation.INVERTED) {
      boolean leftUpright = leftIsUpright(source.placement());
      lanes.add(lane(source, "mono", "console feed", leftUpright ? List.of(0, 1) : List.of(1, 0)));
    } else {
      for (int index = 0; index < channels.size(); index++) {
        if (!channels.get(index).silent() && !isEmptySide(pair, index)) {
          lanes.add(
              lane(source, channelName(source.facts(), index), role(pair, index), List.of(index)));
        }
      }
    }
  }

  /** The side of a one-sided pair that has nothing but crosstalk of the other. */
  private static boolean isEmptySide(@Nullable PairVerdict pair, int index) {
    Double gain = pair == null ? null : pair.gainDifferenceDb();
    return pair != null
        && pair.relation() == PairVerdict.Relation.ONE_SILENT
        && gain != null
        && index == (gain < 0 ? 1 : 0);
  }

  /** Whether left has the reference's polarity; unplaced pairs count as plugged tip = hot. */
  private static boolean leftIsUpright(@Nullable Placement placement) {
    if (placement == null || placement.channel() == null) {
      return true;
    }
    return (placement.channel() == 0) != placement.inverted();
  }

  private static String role(@Nullable PairVerdict pair, int index) {
    if (pair == null) {
      return "microphone";
    }
    Double gain = pair.gainDifferenceDb();
    return switch (pair.relation()) {
      case LOWER_COPY -> gain != null && (gain < 0) == (index == 1) ? "safety copy" : "microphone";
      case STEREO -> index == 0 ? "stereo left" : "stereo right";
      default -> "microphone";
    };
  }

  /** A channel's name: the recorder's own, else left and right, else a number. */
  public static String channelName(SourceFacts facts, int index) {
    String own = index < facts.channelNames().size() ? facts.channelNames().get(index) : "";
    if (!own.isBlank()) {
      return own.strip();
    }
    if (facts.channelCount() == 1) {
      return "mono";
    }
    if (facts.channelCount() == 2) {
      return index == 0 ? "left" : "right";
    }
    return "ch" + (index + 1);
  }

  private Lane lane(LaneSource source, String name, String role, List<Integer> channels) {
    double duration = (double) source.frameCount() / source.facts().rateHz();
    boolean resample = source.isPlaced() && correction.applies(source.driftPpm(), duration);
    Lane.Format format = LaneFormats.of(source, channels, resample, referenceRateHz);
    return new Lane(source, name, role, "", channels, resample, format);
  }
}
