package hardpan.lanes;

import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Overload;
import hardpan.verdict.PairVerdict;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Decides which lanes a shoot gives: one for each separate signal, none for silence.
 *
 * <p>File names are {@code DEVICE_RUN_LANE.wav}, in plain letters, digits, '-' and '_' so that
 * every file system takes them; what has no place on the clock carries {@code _unplaced}.
 */
public final class LanePlanner {
  /** A decoded sample beyond this would be cut off in a 24-bit file. */
  private static final double LARGEST_INTEGER = 1 - 1.0 / (1 << 23);

  /**
   * Peaks between samples rise above the samples' own, in clipped sound by some dB; a corrected
   * lane that could reach full scale is written as float.
   */
  private static final double RESAMPLED_ROOM_DB = -6;

  /** A part of a name is cut there; three parts stay well below the 255 that file systems take. */
  private static final int MOST_LETTERS = 60;

  /** Letters without a decomposition into a plain letter and a mark. */
  private static final String[][] SPELLED_OUT = {
    {"\u00df", "ss"},
    {"\u00e6", "ae"},
    {"\u00c6", "AE"},
    {"\u00f8", "o"},
    {"\u00d8", "O"},
    {"\u0153", "oe"},
    {"\u0152", "OE"},
    {"\u0142", "l"},
    {"\u0141", "L"},
  };

  private final DriftCorrection correction;
  private final int referenceRateHz;
  private final Set<String> usedNames = new HashSet<>();

  private LanePlanner(DriftCorrection correction, int referenceRateHz) {
    this.correction = correction;
    this.referenceRateHz = referenceRateHz;
  }

  /**
   * Plans all lanes.
   *
   * @param sources the sources in the report's order
   * @param correction when clocks are corrected
   * @param referenceRateHz sample rate of the reference; corrected lanes take it
   */
  public static List<Lane> plan(
      List<LaneSource> sources, DriftCorrection correction, int referenceRateHz) {
    LanePlanner planner = new LanePlanner(correction, referenceRateHz);
    List<Lane> lanes = new ArrayList<>();
    for (LaneSource source : sources) {
      planner.planSource(source, lanes);
    }
    return lanes;
  }

  private void planSource(LaneSource source, List<Lane> lanes) {
    PairVerdict told = source.verdicts().pair();
    // Where a plug was changed inside the clip, no side may be dropped or mixed for all of it.
    PairVerdict pair = told != null && told.changes() ? null : told;
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
    String stem = safe(source.device()) + "_" + source.runNumber() + "_" + safe(name);
    if (source.placement() != null && !source.isPlaced()) {
      stem += "_unplaced";
    }
    return new Lane(
        source, name, role, unique(stem), channels, resample, format(source, channels, resample));
  }

  private Lane.Format format(LaneSource source, List<Integer> channels, boolean resample) {
    SourceFacts facts = source.facts();
    double peak = 0;
    for (int channel : channels) {
      Double peakDbfs = source.verdicts().channels().get(channel).peakDbfs();
      peak = Math.max(peak, peakDbfs == null ? 0 : Decibels.toAmplitude(peakDbfs));
    }
    if (resample) {
      boolean hot = Decibels.ofAmplitude(peak) > RESAMPLED_ROOM_DB;
      boolean isFloat = hot || facts.sampleForm() == SampleForm.FLOAT;
      return new Lane.Format(isFloat, isFloat ? 32 : 24, referenceRateHz);
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

  private String unique(String stem) {
    String name = stem + ".wav";
    for (int number = 2; !usedNames.add(name.toLowerCase(Locale.ROOT)); number++) {
      name = stem + "_" + number + ".wav";
    }
    return name;
  }

  /** Plain letters, digits, '-' and '.'; everything else becomes '-'. */
  static String safe(String text) {
    String plain = Normalizer.normalize(text, Normalizer.Form.NFKD).replaceAll("\\p{M}+", "");
    for (String[] letter : SPELLED_OUT) {
      plain = plain.replace(letter[0], letter[1]);
    }
    String safe = plain.replaceAll("[^A-Za-z0-9.-]+", "-").replaceAll("^[-.]+", "");
    if (safe.length() > MOST_LETTERS) {
      safe = safe.substring(0, MOST_LETTERS);
    }
    safe = safe.replaceAll("[-.]+$", "");
    return safe.isEmpty() ? "x" : safe;
  }
}
