package hardpan.lanes;

import hardpan.base.SourceClock;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Decides which lanes a shoot gives: one for each separate signal, none for silence.
 *
 * <p>They come out each as long as its source and without files; {@link LaneArranger} puts them
 * into files.
 */
public final class LanePlanner {
  private static final int USUAL_RATE_HZ = 48_000;
  private static final String MICROPHONE_ROLE = "microphone";

  /** What recordists call a channel that a console feeds (common practice, no source). */
  private static final Pattern CONSOLE_NAME =
      Pattern.compile("\\b(board|console|desk|mixer|foh)\\b", Pattern.CASE_INSENSITIVE);

  private final DriftCorrection correction;
  private final SampleChoice samples;
  private final int referenceRateHz;

  private LanePlanner(DriftCorrection correction, SampleChoice samples, int referenceRateHz) {
    this.correction = correction;
    this.samples = samples;
    this.referenceRateHz = referenceRateHz;
  }

  /**
   * Plans all lanes and their files, where nobody decided anything about single ones.
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
    return files(offers(sources, LaneChoices.NONE), reference, correction, arrangement, shootName);
  }

  /**
   * Plans the lanes that are written, and their files.
   *
   * @param offers the lanes that could be, from {@link #offers}
   * @param reference as above
   * @param correction as above
   * @param arrangement as above
   * @param shootName name of the shoot
   */
  public static List<PlannedFile> files(
      List<LaneOffer> offers,
      @Nullable SourceFacts reference,
      DriftCorrection correction,
      Arrangement arrangement,
      String shootName) {
    int rateHz = reference == null ? USUAL_RATE_HZ : reference.rateHz();
    LanePlanner planner = new LanePlanner(correction, arrangement.samples(), rateHz);
    List<Lane> lanes = new ArrayList<>();
    for (LaneOffer offer : offers) {
      if (offer.isWritten()) {
        lanes.add(planner.lane(offer));
      }
    }
    return new LaneArranger(arrangement, rateHz, new LaneNames(arrangement, shootName, reference))
        .files(lanes);
  }

  /**
   * All lanes that could be written, in the order of sources and channels.
   *
   * @param sources the sources in the report's order
   * @param choices what a person decided about them
   */
  public static List<LaneOffer> offers(List<LaneSource> sources, LaneChoices choices) {
    List<LaneOffer> offers = new ArrayList<>();
    for (LaneSource source : sources) {
      offer(source, choices, offers);
    }
    return offers;
  }

  private static void offer(LaneSource source, LaneChoices choices, List<LaneOffer> offers) {
    PairVerdict told = source.verdicts().pair();
    // Where a plug was changed inside the clip, no side may be dropped or mixed for all of it.
    PairVerdict pair = told != null && told.changes() ? null : told;
    List<ChannelVerdict> channels = source.verdicts().channels();
    boolean same = pair != null && pair.relation() == PairVerdict.Relation.SAME_SIGNAL;
    boolean inverted = pair != null && pair.relation() == PairVerdict.Relation.INVERTED;
    if ((same || inverted) && choices.merges(source)) {
      boolean rightIsBetter =
          channels.get(1).clipping().clippedSeconds() < channels.get(0).clipping().clippedSeconds();
      boolean line = channels.get(0).overload().verdict() == Overload.Verdict.LINE_LEVEL;
      String role = line || inverted ? "console feed" : MICROPHONE_ROLE;
      List<Integer> taken =
          same
              ? List.of(rightIsBetter ? 1 : 0)
              : leftIsUpright(source.placement()) ? List.of(0, 1) : List.of(1, 0);
      LaneOffer.State state = state(choices.of(source, 0), LaneOffer.State.WRITTEN);
      offers.add(
          chosen(
              choices.of(source, 0),
              new LaneOffer(source, taken, 0, "mono", role, true, state, LaneOffer.Twin.MERGED)));
      return;
    }
    for (int index = 0; index < channels.size(); index++) {
      LaneChoices.Channel choice = choices.of(source, index);
      LaneOffer.State found =
          channels.get(index).silent()
              ? LaneOffer.State.SILENT
              : isEmptySide(pair, index) ? LaneOffer.State.CROSSTALK : LaneOffer.State.WRITTEN;
      offers.add(
          chosen(
              choice,
              new LaneOffer(
                  source,
                  List.of(index),
                  index,
                  channelName(source.facts(), index),
                  role(pair, index, channelName(source.facts(), index)),
                  true,
                  state(choice, found),
                  same || inverted ? LaneOffer.Twin.KEPT_APART : LaneOffer.Twin.NONE)));
    }
  }

  private static LaneOffer.State state(
      LaneChoices.@Nullable Channel choice, LaneOffer.State found) {
    Boolean wanted = choice == null ? null : choice.written();
    if (wanted == null || (wanted && found == LaneOffer.State.WRITTEN)) {
      return found;
    }
    return wanted ? LaneOffer.State.WANTED : LaneOffer.State.UNWANTED;
  }

  private static LaneOffer chosen(LaneChoices.@Nullable Channel choice, LaneOffer offer) {
    if (choice == null) {
      return offer;
    }
    String name = choice.name();
    String role = choice.role();
    return new LaneOffer(
        offer.source(),
        offer.channels(),
        offer.key(),
        name == null ? offer.name() : name,
        role == null ? offer.role() : role,
        role == null,
        offer.state(),
        offer.pair());
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

  private static String role(@Nullable PairVerdict pair, int index, String name) {
    String byName = CONSOLE_NAME.matcher(name).find() ? "console feed" : MICROPHONE_ROLE;
    if (pair == null) {
      return byName;
    }
    Double gain = pair.gainDifferenceDb();
    return switch (pair.relation()) {
      case LOWER_COPY -> gain != null && (gain < 0) == (index == 1) ? "safety copy" : byName;
      case STEREO -> index == 0 ? "stereo left" : "stereo right";
      default -> byName;
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

  /** Whether a name tells only which channel it is, as those that are given to unnamed ones. */
  public static boolean isPlainName(String name) {
    return name.matches("mono|left|right|ch[0-9]+");
  }

  private Lane lane(LaneOffer offer) {
    LaneSource source = offer.source();
    double duration = (double) source.frameCount() / source.facts().rateHz();
    SourceClock clock = source.clock();
    boolean resample = clock != null && correction.applies(clock, duration);
    Lane.Format format =
        samples.of(LaneFormats.of(source, offer.channels(), resample, referenceRateHz));
    return new Lane(
        source,
        offer.name(),
        offer.role(),
        offer.roleGuessed(),
        "",
        offer.channels(),
        resample,
        format);
  }
}
