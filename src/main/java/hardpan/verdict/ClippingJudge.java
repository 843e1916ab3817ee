package hardpan.verdict;

import hardpan.base.Span;
import hardpan.base.UsualPads;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Decides from a channel's measurements whether it was clipped, at which ceiling, where and by how
 * much.
 *
 * <p>Uncompressed sound: flat tops with corners that pile up at one level near the channel's own
 * maximum. Where there are none, or the sound comes out of a lossy decoder, see {@link
 * BlurredCeiling}.
 */
final class ClippingJudge {
  /** Of the ceiling; a much too hot feed whose halves are cut at unlike levels makes up to 0.2. */
  private static final double MOST_OFFSET = 0.4;

  private static final double NEAR_CEILING = 0.95;
  private static final double AT_CEILING = 0.998;

  private static final double MERGE_SECONDS = 0.05;
  private static final int MOST_SPANS = 2000;

  /** Programme counts as active down to this far below its loud passages. */
  private static final double ACTIVE_RANGE_DB = 25;

  /**
   * exp(-10): how rare the effective peak of unclipped programme is. With 9 the middle error on
   * made clips of known truth was -1.2 dB up to 20 dB of excess; this takes 0.9 dB of it away.
   */
  private static final double PEAK_RARITY = 10;

  /**
   * A feed at line level is much too hot and nearly all the time: 15 dB weigh as much as the whole
   * of the time. Fitted on made clips of known truth.
   */
  private static final double LINE_SUM_DB = 12.5;

  private static final double TIME_WEIGHT_DB = 15;

  /** Talk with many pauses reaches its ceiling half of the time at most, however hot it is. */
  private static final double MOST_TIME = 0.5;

  private static final double SURE = 0.99;
  private static final double LEAST_ROOM_DB = 6;

  private final ChannelMeter meter;
  private final int rateHz;
  private final boolean lossy;

  ClippingJudge(ChannelMeter meter, int rateHz, SampleForm form) {
    this.meter = meter;
    this.rateHz = rateHz;
    this.lossy = form == SampleForm.LOSSY;
  }

  Clipping clipping() {
    BlurredCeiling above =
        lossy
            ? BlurredCeiling.NONE
            : FlatCeiling.of(meter.flatTops().above(), meter.positiveCounts());
    BlurredCeiling below =
        lossy
            ? BlurredCeiling.NONE
            : FlatCeiling.of(meter.flatTops().below(), meter.negativeCounts());
    boolean blurred = above.level() <= 0 && below.level() <= 0;
    double confidence = SURE;
    if (blurred) {
      float[][] pieces = meter.excerpts().pieces();
      double[][] spreads = new double[pieces.length][];
      above = BlurredCeiling.find(meter.positiveCounts(), pieces, spreads, 1);
      below = BlurredCeiling.find(meter.negativeCounts(), pieces, spreads, -1);
      // Off centre, the pauses pile up where a ceiling might be.
      double level = Math.max(above.level(), below.level());
      boolean offCentre = Math.abs(meter.mean()) > MOST_OFFSET * level;
      boolean tone = !BlurredCeiling.isNoTone(above, below) && PureTone.is(pieces);
      if (offCentre || tone || !BlurredCeiling.believable(above, below, lossy)) {
        return Clipping.NONE;
      }
      confidence = Math.min(SURE, BlurredCeiling.probability(above, below, lossy));
      // Only the better half counts where nothing speaks for the other.
      boolean aboveIsBetter = above.score() >= below.score();
      above = aboveIsBetter || above.speaks() ? above : BlurredCeiling.NONE;
      below = !aboveIsBetter || below.speaks() ? below : BlurredCeiling.NONE;
    }
    double positive = above.level();
    double negative = below.level();
    double ceiling = Math.max(positive, negative);
    if (ceiling <= 0) {
      return Clipping.NONE;
    }
    List<Span> spans = blurred ? loudSpans(positive, negative) : flatSpans(above, below);
    if (spans.isEmpty()) {
      return Clipping.NONE;
    }
    double active = activeFrames();
    long inside = spans.stream().mapToLong(Span::frames).sum();
    double atCeiling =
        countFrom(meter.positiveCounts(), above.edge())
            + countFrom(meter.negativeCounts(), below.edge());
    return new Clipping(
        true,
        Decibels.ofAmplitude(ceiling),
        levelOrNull(positive),
        levelOrNull(negative),
        shape(blurred),
        inside / (double) rateHz,
        spans,
        active <= 0 ? 0 : Math.min(1, inside / active),
        active <= 0 ? 0 : Math.min(1, atCeiling / active),
        confidence);
  }

  private Clipping.Shape shape(boolean blurred) {
    if (lossy) {
      return Clipping.Shape.BLURRED;
    }
    return blurred ? Clipping.Shape.SOFT : Clipping.Shape.HARD;
  }

  private static @Nullable Double levelOrNull(double level) {
    return level > 0 ? Decibels.ofAmplitude(level) : null;
  }

  Overload overload(Clipping clipping) {
    if (!clipping.clipped()) {
      return new Overload(Overload.Verdict.NONE, null, null, 0.9);
    }
    double share = Math.max(1e-9, Math.min(0.9, clipping.samplesAtCeiling()));
    double excess = Math.max(0, Decibels.ofAmplitude(PEAK_RARITY / -Math.log(share)));
    return overload(excess, clipping.shareOfActive());
  }

  /**
   * What so much excess is called.
   *
   * @param timeShare time inside spans as a share of the time with programme
   */
  static Overload overload(double excessDb, double timeShare) {
    double sum = excessDb + TIME_WEIGHT_DB * Math.min(MOST_TIME, timeShare);
    // Far from the border between the two words the verdict is surer.
    double distance = Math.min(1, Math.abs(sum - LINE_SUM_DB) / 6);
    return new Overload(
        sum > LINE_SUM_DB ? Overload.Verdict.LINE_LEVEL : Overload.Verdict.OCCASIONAL,
        excessDb,
        (double) UsualPads.atLeast(excessDb + LEAST_ROOM_DB),
        0.6 + 0.35 * distance);
  }

  private double activeFrames() {
    double loud = meter.levelQuantile(0.95);
    if (loud == Double.NEGATIVE_INFINITY) {
      return 0;
    }
    return (double) meter.levelsAtLeast(loud - ACTIVE_RANGE_DB) * meter.levelFrames();
  }

  private static double countFrom(long[] counts, double level) {
    if (level <= 0) {
      return 0;
    }
    double total = 0;
    for (int bin = (int) (level / ChannelMeter.VALUE_BIN_WIDTH); bin < counts.length; bin++) {
      total += counts[bin];
    }
    return total;
  }

  private List<Span> flatSpans(BlurredCeiling above, BlurredCeiling below) {
    List<Span> spans = new ArrayList<>();
    addFlatSpans(meter.flatTops().above(), above, spans);
    addFlatSpans(meter.flatTops().below(), below, spans);
    // Where the ceiling is known exactly, one sample at it is a cut too short to be a flat top.
    addLoudSpans(meter.loudAbove(), above.level(), AT_CEILING, spans);
    addLoudSpans(meter.loudBelow(), below.level(), AT_CEILING, spans);
    spans.sort(Comparator.comparingLong(Span::startFrame));
    return merge(spans);
  }

  private static void addFlatSpans(TopList tops, BlurredCeiling ceiling, List<Span> spans) {
    for (int i = 0; i < tops.count(); i++) {
      if (ceiling.level() > 0 && tops.level(i) >= ceiling.edge()) {
        spans.add(new Span(tops.start(i), tops.end(i)));
      }
    }
  }

  private List<Span> loudSpans(double positive, double negative) {
    List<Span> spans = new ArrayList<>();
    addLoudSpans(meter.loudAbove(), positive, NEAR_CEILING, spans);
    addLoudSpans(meter.loudBelow(), negative, NEAR_CEILING, spans);
    spans.sort(Comparator.comparingLong(Span::startFrame));
    return merge(spans);
  }

  private static void addLoudSpans(
      LoudCells cells, double ceiling, double share, List<Span> spans) {
    if (ceiling <= 0) {
      return;
    }
    double least = Decibels.ofAmplitude(ceiling * share);
    for (int cell = 0; cell < cells.count(); cell++) {
      if (cells.reaches(cell, least)) {
        long start = (long) cell * cells.cellFrames();
        spans.add(new Span(start, start + cells.cellFrames()));
      }
    }
  }

  private List<Span> merge(List<Span> spans) {
    double gapSeconds = MERGE_SECONDS;
    List<Span> merged = spans;
    do {
      merged = mergeWithin(merged, Math.round(gapSeconds * rateHz));
      gapSeconds *= 2;
    } while (merged.size() > MOST_SPANS);
    return merged;
  }

  private static List<Span> mergeWithin(List<Span> spans, long gapFrames) {
    List<Span> merged = new ArrayList<>();
    for (Span span : spans) {
      Span newest = merged.isEmpty() ? null : merged.get(merged.size() - 1);
      if (newest != null && span.startFrame() - newest.endFrame() <= gapFrames) {
        long end = Math.max(newest.endFrame(), span.endFrame());
        merged.set(merged.size() - 1, new Span(newest.startFrame(), end));
      } else {
        merged.add(span);
      }
    }
    return merged;
  }
}
