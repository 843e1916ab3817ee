package hardpan.verdict;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** What is said of a channel that was cut off. */
final class ClippingFinding {
  private ClippingFinding() {}

  /**
   * Says it.
   *
   * @param recorderUncertaintyDb how exactly the excess was read off a recorder; null where it was
   *     judged from the cut sound alone
   */
  static Finding of(Clipping clipping, Overload overload, @Nullable Double recorderUncertaintyDb) {
    Map<String, @Nullable Object> evidence = new LinkedHashMap<>();
    evidence.put("ceilingDbfs", round(orZero(clipping.ceilingDbfs())));
    evidence.put("positiveDbfs", roundOrNull(clipping.positiveDbfs()));
    evidence.put("negativeDbfs", roundOrNull(clipping.negativeDbfs()));
    evidence.put("shape", clipping.shape().word());
    evidence.put("clippedSeconds", round(clipping.clippedSeconds()));
    evidence.put("shareOfActive", round(clipping.shareOfActive()));
    evidence.put("samplesAtCeiling", clipping.samplesAtCeiling());
    evidence.put("excessDb", round(orZero(overload.excessDb())));
    evidence.put(
        "excessUncertaintyDb",
        recorderUncertaintyDb == null ? Overload.EXCESS_UNCERTAINTY_DB : recorderUncertaintyDb);
    evidence.put("excessFrom", recorderUncertaintyDb == null ? "cut sound" : "recorder");
    evidence.put("confidence", round(clipping.confidence()));
    boolean line = overload.verdict() == Overload.Verdict.LINE_LEVEL;
    String says =
        String.format(
            Locale.ROOT,
            line
                ? "Cut off at %.1f dBFS through %.0f %% of the programme, about %.0f dB too hot:"
                    + " a line-level feed went into a microphone input without an attenuator."
                : "Cut off at %.1f dBFS in %.0f %% of the programme, about %.0f dB too hot in the"
                    + " loud moments.",
            orZero(clipping.ceilingDbfs()),
            100 * clipping.shareOfActive(),
            orZero(overload.excessDb()));
    String remedy =
        line
            ? String.format(
                Locale.ROOT,
                "Next time put a pad (attenuator) of %.0f dB between console and camera, or lower the"
                    + " console's output.",
                orZero(overload.padDb()))
            : String.format(
                Locale.ROOT,
                "Next time set the input %.0f dB lower.",
                Math.ceil(orZero(overload.excessDb()) + 6));
    return new Finding(
        "clipping", Finding.Severity.FAULT, clipping.spans(), evidence, says, remedy);
  }

  private static double orZero(@Nullable Double value) {
    return value == null ? 0 : value;
  }

  private static @Nullable Double roundOrNull(@Nullable Double value) {
    return value == null ? null : round(value);
  }

  private static double round(double value) {
    return Math.round(value * 100) / 100.0;
  }
}
