package hardpan.verdict;

import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Turns one channel's measurements into its verdict. */
final class ChannelJudge {
  /** Steady sound below this level is faint noise. */
  private static final double FAINT_DBFS = -60;

  /** Sound that rises this far above a channel's own floor is programme, however low. */
  private static final double ACTIVITY_DB = 15;

  /** Programme must rise this far above the step of whole numbers; dither stays below it. */
  private static final double ABOVE_STEP_DB = 12;

  /** Below this, no recording holds programme worth having; common practice, no source. */
  private static final double LEAST_ACTIVITY_DBFS = -95;

  /** A lossy codec seldom gets more than this. */
  private static final int USUAL_BITS = 16;

  private static final double SPOKEN_DBFS = -50;

  /** One second in stretches of 50 ms; plugs and switches make less. */
  private static final int SPOKEN_LEVELS = 20;

  private static final double LOW_DBFS = -36;

  /** Hum farther below the loud passages than this is only noted; common practice, no source. */
  private static final double AUDIBLE_HUM_DB = 45;

  private static final double HUM_ONLY_DB = 2;

  private static final double NOTABLE_OFFSET = 0.002;
  private static final double OFFSET_IN_RUMBLE = 0.01;

  private ChannelJudge() {}

  static ChannelVerdict judge(ChannelMeter meter, SourceFacts facts) {
    int rateHz = facts.rateHz();
    SampleForm form = facts.sampleForm();
    ClippingJudge clippingJudge = new ClippingJudge(meter, rateHz, form);
    Clipping clipping = clippingJudge.clipping();
    Overload overload = clippingJudge.overload(clipping);
    double active = meter.levelQuantile(0.95);
    // One sentence in a long quiet take is programme too, though no 5 % of the time.
    boolean spoken = meter.levelsAtLeast(SPOKEN_DBFS) >= SPOKEN_LEVELS;
    Hum hum = Hum.find(meter.faults().hum());
    // Nothing but hum is nothing, even where it is not faint.
    boolean humOnly = hum != null && active - hum.levelDbfs() < HUM_ONLY_DB && active < LOW_DBFS;
    boolean silent =
        meter.peak() <= 0
            || ((active < FAINT_DBFS || humOnly) && !spoken && !hasActivity(meter, facts));
    List<Finding> findings = new ArrayList<>();
    if (clipping.clipped()) {
      findings.add(ClippingFinding.of(clipping, overload, null));
    }
    if (silent) {
      findings.add(silenceFinding(meter));
    } else if (active < LOW_DBFS && meter.levelsAtLeast(LOW_DBFS) < SPOKEN_LEVELS) {
      findings.add(
          new Finding(
              "too-low",
              Finding.Severity.WARNING,
              List.of(),
              Map.of("activeDbfs", round(active), "confidence", 0.9),
              String.format(
                  Locale.ROOT, "Recorded very low: loud passages reach only %.0f dBFS.", active),
              "Raise the gain next time; lifting it now lifts the noise with it."));
    }
    if (hum != null) {
      findings.add(humFinding(hum, active));
    }
    // Deep rumble does not average out in a short take.
    double least = meter.faults().gusts().gustSeconds() > 0 ? OFFSET_IN_RUMBLE : NOTABLE_OFFSET;
    if (Math.abs(meter.mean()) >= least) {
      findings.add(
          new Finding(
              "dc-offset",
              Finding.Severity.WARNING,
              List.of(),
              Map.of("dcOffset", meter.mean(), "confidence", 0.95),
              String.format(
                  Locale.ROOT,
                  "The wave sits %.1f %% of full scale off centre.",
                  100 * meter.mean()),
              "A high-pass filter at 20 Hz puts it right; look for a faulty input or cable."));
    }
    if (meter.notNumbers() > 0) {
      findings.add(
          new Finding(
              "not-numbers",
              Finding.Severity.FAULT,
              List.of(),
              Map.of("samples", meter.notNumbers()),
              meter.notNumbers() + " samples are not numbers and were taken as silence.",
              "The file is damaged there; look for another copy."));
    }
    if (!silent) {
      findings.addAll(FaultJudge.findings(meter.faults(), facts, meter.peak(), clipping.clipped()));
    }
    findings.sort(Comparator.comparing(Finding::severity).reversed());
    return new ChannelVerdict(
        level(Decibels.ofAmplitude(meter.peak())),
        level(Decibels.ofPower(meter.meanSquare())),
        level(meter.levelQuantile(0.05)),
        level(active),
        meter.mean(),
        silent,
        clipping,
        overload,
        findings);
  }

  /** Whether a second or more rises clearly above the channel's own noise. */
  static boolean hasActivity(ChannelMeter meter, SourceFacts facts) {
    double least = Math.max(LEAST_ACTIVITY_DBFS, meter.levelQuantile(0.05) + ACTIVITY_DB);
    if (facts.sampleForm() != SampleForm.FLOAT) {
      Integer bits = facts.bitsPerSample();
      double step = Math.pow(2, 1 - (bits == null ? USUAL_BITS : bits));
      least = Math.max(least, Decibels.ofAmplitude(step) + ABOVE_STEP_DB);
    }
    return meter.levelsAtLeast(least) >= SPOKEN_LEVELS;
  }

  private static Finding humFinding(Hum hum, double active) {
    Map<String, Object> evidence = new LinkedHashMap<>();
    evidence.put("fundamentalHz", round(hum.fundamentalHz()));
    evidence.put("levelDbfs", round(hum.levelDbfs()));
    evidence.put("lines", hum.lines());
    evidence.put("steadiness", round(hum.steadiness()));
    evidence.put("confidence", round(Math.min(0.99, 0.8 + 0.25 * hum.steadiness())));
    double below = active - hum.levelDbfs();
    boolean audible = below < AUDIBLE_HUM_DB;
    String says =
        String.format(
            Locale.ROOT,
            "Mains hum at %.1f Hz and its multiples, %.0f dBFS, %.0f dB below the loud passages.",
            hum.fundamentalHz(),
            hum.levelDbfs(),
            Math.max(0, below));
    return new Finding(
        "hum",
        audible ? Finding.Severity.WARNING : Finding.Severity.NOTE,
        hum.spans(),
        evidence,
        says,
        "Narrow notches at these frequencies take most of it out. Next time run the camera on its"
            + " battery, keep the cable away from power supplies, or put an isolating transformer"
            + " between console and camera; never disconnect the mains earth.");
  }

  private static Finding silenceFinding(ChannelMeter meter) {
    boolean digital = meter.peak() <= 0;
    return new Finding(
        "silence",
        Finding.Severity.FAULT,
        List.of(),
        Map.of("digitalSilence", digital, "confidence", digital ? 1.0 : 0.95),
        digital
            ? "Nothing was recorded: every sample is zero."
            : "Nothing but faint noise was recorded.",
        "Check the plug, the microphone's battery and its switch; look for another source.");
  }

  private static double round(double value) {
    return Math.round(value * 100) / 100.0;
  }

  private static @Nullable Double level(double db) {
    return Double.isInfinite(db) || Double.isNaN(db) ? null : db;
  }
}
