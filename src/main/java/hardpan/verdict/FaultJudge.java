package hardpan.verdict;

import hardpan.base.Span;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Puts what the small meters found into words. Bounds without a source beside them are common
 * practice, and were set on clips of known truth.
 */
final class FaultJudge {
  private static final int SOME_GAPS = 3;
  private static final double SURE = 0.95;
  private static final double RATHER_SURE = 0.85;

  private static final double NOISY_DBFS = -58;
  private static final double NOISY_BELOW_DB = 30;
  private static final double LEAST_BELOW_DB = 6;
  private static final double STEADY_DB = 2.5;
  private static final double NOISE_LIKE = 0.42;
  private static final double LOUD_NOISE_DB = 16;

  private static final int LEAST_SWELLS = 3;
  private static final double SWELL_SHARE = 0.5;

  private static final double LEAST_GUST_SECONDS = 1;
  private static final int LEAST_POPS = 3;

  private static final int LEAST_UNUSED_BITS = 4;
  private static final int FULL_BITS = 24;

  private static final double NARROW_HZ = 8300;

  /** A wall this near to half the sample rate is the recorder's own filter. */
  private static final double OWN_FILTER = 0.94;

  private static final double NOTABLE_OVER_DB = 0.1;

  private final FaultMeters meters;
  private final SourceFacts facts;
  private final float peak;
  private final List<Finding> findings = new ArrayList<>();

  private FaultJudge(FaultMeters meters, SourceFacts facts, float peak) {
    this.meters = meters;
    this.facts = facts;
    this.peak = peak;
  }

  /**
   * The findings on a channel that is not silent.
   *
   * @param peak its largest sample, full scale being 1
   * @param clipped whether its tops are cut off, so that overs are no news
   */
  static List<Finding> findings(
      FaultMeters meters, SourceFacts facts, float peak, boolean clipped) {
    FaultJudge judge = new FaultJudge(meters, facts, peak);
    judge.gaps();
    judge.zeros();
    judge.gustsAndPops();
    // Wind swells and hisses by itself.
    if (meters.gusts().gustSeconds() < LEAST_GUST_SECONDS) {
      judge.gainPumping();
      judge.noise();
    }
    judge.band();
    judge.words();
    if (!clipped) {
      judge.overs();
    }
    return judge.findings;
  }

  private void gaps() {
    List<GapMeter.Gap> gaps = meters.gaps().gaps();
    if (gaps.isEmpty()) {
      return;
    }
    List<Span> spans = gaps.stream().map(GapMeter.Gap::span).toList();
    long longest = spans.stream().mapToLong(Span::frames).max().orElse(0);
    double seconds = seconds(spans);
    double depth =
        gaps.stream().mapToDouble(gap -> gap.beforeDbfs() - gap.levelDbfs()).average().orElse(0);
    long count = gaps.size() + meters.gaps().missed();
    Map<String, Object> evidence = new LinkedHashMap<>();
    evidence.put("count", count);
    evidence.put("seconds", round(seconds));
    evidence.put("longestMs", round(1000.0 * longest / facts.rateHz()));
    evidence.put("depthDb", round(depth));
    add(
        "drop-out",
        Finding.Severity.FAULT,
        spans,
        evidence,
        count >= SOME_GAPS ? SURE : RATHER_SURE,
        String.format(
            Locale.ROOT,
            "The sound breaks off and comes back at once in %d %s, the longest %.0f ms.",
            count,
            count == 1 ? "place" : "places",
            1000.0 * longest / facts.rateHz()),
        count >= SOME_GAPS
            ? "Use another source for these moments. A plug or cable with a bad contact does this"
                + " when it is moved, a radio link at the edge of its reach: move, bend and change"
                + " the cable, or bring the receiver nearer."
            : "Use another source for these moments; check plug, cable and radio link.");
  }

  private void zeros() {
    List<Span> spans = meters.gaps().zeros();
    if (spans.isEmpty()) {
      return;
    }
    double seconds = seconds(spans);
    add(
        "digital-silence",
        Finding.Severity.WARNING,
        spans,
        evidence("count", (long) spans.size(), "seconds", round(seconds)),
        SURE,
        String.format(
            Locale.ROOT,
            "Every sample is zero for %.1f s in all, in %d %s right beside sound: muted, or"
                + " nothing was written.",
            seconds,
            spans.size(),
            spans.size() == 1 ? "place" : "places"),
        "No microphone is ever so quiet: look for a mute switch, a lost radio link or a damaged"
            + " file, and use another source there.");
  }

  private void gustsAndPops() {
    GustMeter gusts = meters.gusts();
    if (gusts.gustSeconds() >= LEAST_GUST_SECONDS) {
      add(
          "wind",
          Finding.Severity.WARNING,
          gusts.gusts(),
          evidence(
              "seconds", round(gusts.gustSeconds()), "loudestDbfs", round(gusts.loudestDbfs())),
          RATHER_SURE,
          String.format(
              Locale.ROOT,
              "Wind or rumble below 25 Hz for %.1f s in all, up to %.0f dBFS.",
              gusts.gustSeconds(),
              gusts.loudestDbfs()),
          "A high-pass filter at 80 to 120 Hz takes most of it from a voice. Next time use a wind"
              + " shield, and a stand that does not pass on steps.");
    }
    if (gusts.pops().size() >= LEAST_POPS) {
      add(
          "pops",
          Finding.Severity.NOTE,
          gusts.pops(),
          evidence("count", (long) gusts.pops().size(), "loudestDbfs", round(gusts.loudestDbfs())),
          RATHER_SURE,
          String.format(
              Locale.ROOT,
              "%d short thuds of breath or knocks, up to %.0f dBFS below 25 Hz.",
              gusts.pops().size(),
              gusts.loudestDbfs()),
          "A high-pass filter at 80 to 120 Hz softens them. Next time speak past the microphone, or"
              + " use a pop shield.");
    }
  }

  private void gainPumping() {
    List<QuietMeter.Pause> pauses = meters.quiet().pauses();
    List<QuietMeter.Pause> swelling = meters.quiet().swelling();
    if (swelling.size() < LEAST_SWELLS || swelling.size() < SWELL_SHARE * pauses.size()) {
      return;
    }
    double rise = swelling.stream().mapToDouble(QuietMeter.Pause::riseDb).average().orElse(0);
    Map<String, Object> evidence =
        evidence("pauses", (long) pauses.size(), "swelling", (long) swelling.size());
    evidence.put("meanRiseDb", round(rise));
    add(
        "gain-pumping",
        Finding.Severity.WARNING,
        swelling.stream().map(QuietMeter.Pause::span).limit(GapMeter.MOST).toList(),
        evidence,
        Math.min(SURE, 0.6 + 0.05 * swelling.size()),
        String.format(
            Locale.ROOT,
            "The noise swells in %d of %d pauses, by %.0f dB on average: an automatic gain control"
                + " was on.",
            swelling.size(),
            pauses.size(),
            rise),
        "Nothing takes it out well; prefer another source. Next time switch the automatic gain off"
            + " and set the level by hand.");
  }

  private void noise() {
    QuietMeter quiet = meters.quiet();
    double floor = quiet.quantile(0.05);
    double below = quiet.quantile(0.95) - floor;
    // Noise piles up at its level; the quiet moments of music do not.
    boolean steady = quiet.quantile(0.1) - quiet.quantile(0.02) <= STEADY_DB;
    if (floor < NOISY_DBFS
        || below > NOISY_BELOW_DB
        || below < LEAST_BELOW_DB
        || !steady
        || quiet.likenessUpTo(quiet.quantile(0.1)) < NOISE_LIKE) {
      return;
    }
    add(
        "noisy",
        below < LOUD_NOISE_DB ? Finding.Severity.WARNING : Finding.Severity.NOTE,
        List.of(),
        evidence("floorDbfs", round(floor), "belowProgrammeDb", round(below)),
        RATHER_SURE,
        String.format(
            Locale.ROOT,
            "Much noise: %.0f dBFS even in the quietest moments (300 Hz to 8 kHz), only %.0f dB below"
                + " the loud passages.",
            floor,
            below),
        "Noise reduction helps a little; prefer a source nearer to the voice. Next time bring the"
            + " microphone nearer, or raise the level before the camera and lower it in the camera.");
  }

  private void band() {
    BandLimit.Wall wall = meters.band().wall();
    double half = facts.rateHz() / 2.0;
    if (wall == null || wall.hz() > OWN_FILTER * half) {
      return;
    }
    boolean narrow = wall.hz() <= NARROW_HZ;
    // Lossy encoders cut the top off by themselves.
    if (facts.sampleForm() == SampleForm.LOSSY && !narrow) {
      return;
    }
    Integer before = earlierRateHz(wall.hz());
    Map<String, Object> evidence =
        evidence("highestHz", (long) wall.hz(), "stepDb", round(wall.stepDb()));
    add(
        "band-limited",
        narrow ? Finding.Severity.WARNING : Finding.Severity.NOTE,
        List.of(),
        evidence,
        RATHER_SURE,
        String.format(
            Locale.ROOT,
            "Nothing above %.1f kHz although the file has room up to %.1f kHz%s.",
            wall.hz() / 1000,
            half / 1000,
            before == null
                ? ": it passed a narrower link or a lossy codec before"
                : String.format(
                    Locale.ROOT,
                    ": it passed a narrower link, a lossy codec or a rate of %.5g kHz before",
                    before / 1000.0)),
        narrow
            ? "What is missing cannot be brought back. Look for a telephone or headset link in the"
                + " chain, and for another source."
            : "Harmless for a voice; it only says that this is not the first generation.");
  }

  /** The usual rate whose half the wall stands just below. */
  private static @Nullable Integer earlierRateHz(double wallHz) {
    for (int rate : new int[] {8000, 11_025, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000}) {
      if (wallHz <= 0.505 * rate && wallHz >= 0.42 * rate) {
        return rate;
      }
    }
    return null;
  }

  private void words() {
    WordLength words = meters.words();
    if (words == null || FULL_BITS - words.usedBits() < LEAST_UNUSED_BITS) {
      return;
    }
    add(
        "word-length",
        Finding.Severity.NOTE,
        List.of(),
        evidence("bitsPerSample", (long) FULL_BITS, "bitsUsed", (long) words.usedBits()),
        SURE,
        String.format(
            Locale.ROOT,
            "A file of %d bits with sound of %d: the lower %d bits are zero in every sample.",
            FULL_BITS,
            words.usedBits(),
            FULL_BITS - words.usedBits()),
        "Nothing is lost; it has the resolution of a file of that many bits. Check the recorder's or"
            + " converter's setting.");
  }

  private void overs() {
    double dbtp = Decibels.ofAmplitude(meters.overs().largest());
    if (peak > 1 || !(dbtp >= NOTABLE_OVER_DB)) {
      return;
    }
    add(
        "inter-sample-overs",
        Finding.Severity.NOTE,
        meters.overs().spans(),
        evidence("truePeakDbtp", round(dbtp), "peakDbfs", round(Decibels.ofAmplitude(peak))),
        SURE,
        String.format(
            Locale.ROOT,
            "Between the samples the wave reaches %+.1f dBTP, though no sample is over full scale.",
            dbtp),
        String.format(
            Locale.ROOT,
            "Lower it by %.0f dB or more before it is encoded or converted; EBU R 128 asks for true"
                + " peaks of at most -1 dBTP.",
            Math.ceil(dbtp + 1)));
  }

  private void add(
      String code,
      Finding.Severity severity,
      List<Span> spans,
      Map<String, Object> evidence,
      double confidence,
      String says,
      String remedy) {
    evidence.put("confidence", confidence);
    findings.add(new Finding(code, severity, spans, evidence, says, remedy));
  }

  private static Map<String, Object> evidence(
      String first, Object firstValue, String second, Object secondValue) {
    Map<String, Object> evidence = new LinkedHashMap<>();
    evidence.put(first, firstValue);
    evidence.put(second, secondValue);
    return evidence;
  }

  private double seconds(List<Span> spans) {
    return (double) spans.stream().mapToLong(Span::frames).sum() / facts.rateHz();
  }

  private static double round(double value) {
    return Math.round(value * 100) / 100.0;
  }
}
