package hardpan.report;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The report's records as plain English sentences, so that page, command line and window say the
 * same thing in the same words.
 */
public final class Sentences {
  private Sentences() {}

  /** What was found in all, the worst of it first: one to five sentences. */
  public static List<String> overview(Report report) {
    return ShootSentences.overview(report);
  }

  /** What a source is: {@code 30 min clip, mov, PCM 16 bit, 48 kHz, 2 channels}. */
  public static String factsSentence(SourceReport source) {
    List<String> parts = new ArrayList<>();
    parts.add(Figures.length(source.durationSeconds()) + " " + source.kind().word());
    if (source.container() != null) {
      parts.add(source.container());
    }
    String sound = CodecWords.of(source.codec(), source.bitsPerSample());
    if (sound != null) {
      parts.add(sound);
    }
    if (source.sampleRateHz() != null) {
      parts.add(Figures.shortest(source.sampleRateHz() / 1000.0, 3) + " kHz");
    }
    if (source.channelCount() != null) {
      parts.add(Figures.count(source.channelCount(), "channel", "channels"));
    }
    if (source.reader() == SourceReport.Reader.FALLBACK) {
      parts.add("read by the fallback reader");
    }
    return String.join(", ", parts) + ".";
  }

  /**
   * When a source began and by what that is known; null if it is not known.
   *
   * @param source of a report of an earlier release it is not said by what
   */
  static @Nullable String began(SourceReport source) {
    Moment began = source.startedAt();
    if (began == null) {
      return null;
    }
    return source.startClaims().stream()
        .filter(StartClaimReport::chosen)
        .findFirst()
        .map(claim -> began.shown() + ", " + claim.origin().by())
        .orElse(began.shown());
  }

  /** How much was left out, by reason; empty if nothing was. */
  static String leftOut(List<LeftOutReport> leftOut) {
    if (leftOut.isEmpty()) {
      return "";
    }
    Map<LeftOutReport.Reason, Integer> numbers = new EnumMap<>(LeftOutReport.Reason.class);
    for (LeftOutReport left : leftOut) {
      numbers.merge(left.reason(), 1, Integer::sum);
    }
    List<String> parts = new ArrayList<>();
    numbers.forEach((reason, number) -> parts.add(reason.counted(number)));
    return "Not used: " + String.join(", ", parts) + ". The report lists them with reasons.";
  }

  /** How left and right relate, with the numbers behind it. */
  public static String pairSentence(PairReport pair) {
    Double gain = pair.gainDifferenceDb();
    String says =
        switch (pair.verdict()) {
          case ISOLATED -> "Left and right are two signals of their own";
          case SAME_SIGNAL -> "Left and right carry the same signal";
          case INVERTED ->
              "Left and right are one signal with opposite polarity: added up, they cancel";
          case LOWER_COPY ->
              gain == null
                  ? "One side is a lower copy of the other"
                  : (gain < 0 ? "Right is a copy of left, " : "Left is a copy of right, ")
                      + Figures.fixed(Math.abs(gain), 1)
                      + " dB lower";
          case STEREO -> "Left and right make one stereo picture";
          case ONE_SILENT ->
              (gain == null ? "One side" : gain < 0 ? "The right side" : "The left side")
                  + " carries no sound of its own";
          case BOTH_SILENT -> "Neither side carries sound";
          case UNKNOWN -> "How left and right relate cannot be told";
        };
    return says + " (" + String.join(", ", pairNumbers(pair)) + ").";
  }

  private static List<String> pairNumbers(PairReport pair) {
    List<String> numbers = new ArrayList<>();
    if (pair.correlation() != null) {
      numbers.add("correlation " + Figures.fixed(pair.correlation(), 2));
    }
    Double gain = pair.gainDifferenceDb();
    if (gain != null && pair.verdict() != PairReport.Verdict.LOWER_COPY) {
      numbers.add(
          Math.abs(gain) < 0.05
              ? "equally loud"
              : "right "
                  + Figures.fixed(Math.abs(gain), 1)
                  + (gain < 0 ? " dB quieter" : " dB louder"));
    }
    if (pair.lagSeconds() != null && pair.lagSeconds() != 0) {
      numbers.add("right " + milliseconds(pair.lagSeconds(), " later", " earlier"));
    }
    if (pair.bleedDb() != null) {
      numbers.add("bleed " + Figures.fixed(pair.bleedDb(), 1) + " dB");
    }
    numbers.add("confidence " + Figures.percent(pair.confidence()));
    return numbers;
  }

  /** Whether the feed was too hot, by how much, and which pad helps. */
  public static String overloadSentence(OverloadReport overload) {
    String sure = " (confidence " + Figures.percent(overload.confidence()) + ").";
    Double excess = overload.excessDb();
    String by = excess == null ? "" : " by about " + Figures.fixed(excess, 0) + " dB";
    Double pad = overload.padDb();
    return switch (overload.verdict()) {
      case NONE -> "The feed was not too hot" + sure;
      case OCCASIONAL ->
          "Loud moments were too hot"
              + by
              + sure
              + (pad == null
                  ? " Set the input gain lower next time."
                  : " Set the input gain lower, or put a "
                      + Figures.shortest(pad, 1)
                      + " dB pad in the line.");
      case LINE_LEVEL ->
          "A line level went into a microphone input, too hot"
              + by
              + sure
              + (pad == null
                  ? " Put a pad in the line, or turn the console's output down."
                  : " Put a "
                      + Figures.shortest(pad, 1)
                      + " dB pad in the line, or turn the console's output down by as much.");
    };
  }

  /** Where and how long the tops are cut off. */
  public static String clippingSentence(ClippingReport clipping) {
    if (!clipping.clipped()) {
      return "No clipping was found.";
    }
    String at =
        clipping.ceilingDbfs() == null
            ? ""
            : " at " + Figures.fixed(clipping.ceilingDbfs(), 1) + " dBFS";
    String where =
        clipping.spans().isEmpty()
            ? ""
            : ", in " + Figures.count(clipping.spans().size(), "stretch", "stretches");
    return "Clipped"
        + at
        + ": tops cut off for "
        + seconds(clipping.clippedSeconds())
        + " in all"
        + where
        + ".";
  }

  /** Where the source sits on the reference, or why nowhere. */
  public static String placementSentence(PlacementReport placement) {
    StringBuilder text = new StringBuilder();
    switch (placement.state()) {
      case UNPLACED -> text.append("No place was found on the reference");
      case AMBIGUOUS -> {
        text.append("Fits in more than one place");
        if (placement.offsetSeconds() != null) {
          text.append("; the best ").append(lowerFirst(starts(placement.offsetSeconds())));
        }
      }
      case PLACED ->
          text.append(starts(placement.offsetSeconds() == null ? 0 : placement.offsetSeconds()));
    }
    if (placement.state() != PlacementReport.State.UNPLACED) {
      appendNumbers(text, placement);
    }
    text.append(sure(placement)).append('.');
    if (placement.inverted()) {
      text.append(" Its polarity is opposite to the reference's.");
    }
    if (!placement.via().isEmpty()) {
      text.append(" Placed through ").append(String.join(", then ", placement.via())).append('.');
    }
    if (!placement.why().isBlank()) {
      text.append(' ').append(placement.why().strip());
    }
    for (OtherPlaceReport other : placement.otherPlaces()) {
      text.append(" Another place that fits: it ")
          .append(lowerFirst(starts(other.offsetSeconds())))
          .append('.');
    }
    return text.toString();
  }

  /** How sure a place or its lack is; nothing where a person said so or nothing was compared. */
  private static String sure(PlacementReport placement) {
    boolean refused = placement.state() == PlacementReport.State.UNPLACED;
    if (placement.basis() == PlacementReport.Basis.HAND
        || placement.wasLeftOut()
        || (refused && placement.confidence() <= 0.5)) {
      return "";
    }
    return refused
        ? " (" + Figures.percent(placement.confidence()) + " sure that there is none)"
        : ", " + Figures.percent(placement.confidence()) + " sure";
  }

  /** That a person put a source where its sound does not fit. */
  static String againstItsSound(PlacementReport placement, double elsewhereSeconds) {
    double here = placement.offsetSeconds() == null ? 0 : placement.offsetSeconds();
    return "Put by hand at "
        + Figures.clock(here, 3)
        + "; its sound fits at "
        + Figures.clock(elsewhereSeconds, 3)
        + ".";
  }

  private static void appendNumbers(StringBuilder text, PlacementReport placement) {
    Double drift = placement.driftPpm();
    if (drift != null) {
      text.append(", clock ").append(Figures.signed(drift, 1)).append(" ppm");
      double hourMs = drift * 3.6;
      if (Math.abs(hourMs) >= 0.05) {
        text.append(" (an hour of it is ")
            .append(Figures.fixed(Math.abs(hourMs), 1))
            .append(hourMs > 0 ? " ms longer" : " ms shorter")
            .append(" on the reference)");
      }
    }
    if (placement.residualMs() != null) {
      text.append(", measured within ")
          .append(Figures.fixed(placement.residualMs(), 2))
          .append(" ms");
    }
    if (placement.overlapSeconds() != null) {
      text.append(", ").append(Figures.length(placement.overlapSeconds())).append(" in common");
    }
  }

  private static String starts(double offsetSeconds) {
    if (Math.abs(offsetSeconds) < 0.0005) {
      return "Starts with the reference";
    }
    return "Starts "
        + Figures.fixed(Math.abs(offsetSeconds), 3)
        + (offsetSeconds < 0 ? " s before the reference began" : " s after the reference began")
        + (Math.abs(offsetSeconds) >= 60
            ? " (" + Figures.clock(Math.abs(offsetSeconds), 3) + ")"
            : "");
  }

  /** What is to be known of a lane beside its numbers; often nothing. */
  public static List<String> laneRemarks(LaneReport lane) {
    List<String> remarks = new ArrayList<>();
    if (!lane.hasWholeFile()) {
      remarks.add(
          "in the file from "
              + Figures.clock((double) lane.fileStartFrame() / lane.sampleRateHz(), 3)
              + (lane.fileChannel() > 0 ? " on channel " + (lane.fileChannel() + 1) : ""));
    }
    if (lane.clockCorrected()) {
      remarks.add(
          lane.clockBend() == LaneReport.Bend.FOLLOWED
              ? "clock corrected along its bend"
              : "clock corrected");
    }
    if (lane.clockBend() == LaneReport.Bend.TOO_SMALL) {
      remarks.add("bend of the clock not followed: with its drift less than 10 ms");
    }
    if (lane.clockBend() == LaneReport.Bend.SWITCHED_OFF) {
      remarks.add("bend of the clock not followed: correcting clocks was switched off");
    }
    if (lane.clampedSamples() > 0) {
      remarks.add(lane.clampedSamples() + " samples held at full scale");
    }
    if (lane.leftOutMarkers() > 0) {
      remarks.add(lane.leftOutMarkers() + " markers left out of the file");
    }
    return remarks;
  }

  /** Why a source could not be read. */
  public static String errorSentence(ErrorReport error) {
    return switch (error.code()) {
          case MALFORMED -> "Damaged: ";
          case UNSUPPORTED -> "Not supported: ";
          case IO -> "Cannot be opened: ";
        }
        + error.message();
  }

  /** The cautions that belong in every hand-over about levels and wiring. */
  public static List<String> usualCautions() {
    return List.of(
        "Clipped material is loud throughout: turn the listening level down before you play it,"
            + " and raise it slowly. Long loud listening harms hearing.",
        "Never lift the mains earth of any device to cure hum; it protects lives. Use a"
            + " transformer in the signal line instead, and leave mains wiring and fixed"
            + " installations to a licensed electrician.",
        "Keep phantom power off line outputs, unbalanced feeds and consoles, unless a blocking"
            + " adapter is fitted. A camera's small jack often feeds power to a plugged-in microphone:"
            + " switch that off for a line feed, or block it.");
  }

  private static String seconds(double seconds) {
    return seconds < 1
        ? Figures.shortest(seconds * 1000, 1) + " ms"
        : Figures.shortest(seconds, 2) + " s";
  }

  private static String milliseconds(double seconds, String later, String earlier) {
    return Figures.fixed(Math.abs(seconds) * 1000, 2) + " ms" + (seconds > 0 ? later : earlier);
  }

  private static String lowerFirst(String text) {
    return text.substring(0, 1).toLowerCase(Locale.ROOT) + text.substring(1);
  }
}
