package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Mains hum: lines at one fundamental near 50 or 60 Hz and its exact multiples, there without a
 * break.
 *
 * @param fundamentalHz the fundamental
 * @param levelDbfs level of all its lines together, RMS, 0 dB being a full-scale square wave
 * @param lines how many of its lines stand out
 * @param steadiness how much of the clearest line turns in step, 0 to 1
 * @param spans where, in frames of the source; empty for the whole of it
 */
record Hum(double fundamentalHz, double levelDbfs, int lines, double steadiness, List<Span> spans) {
  /** Fainter hum is nothing to tell; common practice, no source. */
  private static final double LEAST_DBFS = -64;

  /** All stretches of one recording are on one grid, whose frequency wanders a little. */
  private static final double SAME_HZ = 0.15;

  private static final double LEAST_SHARE = 0.2;

  /** Loud music may cover the hum in the rest. */
  private static final double WHOLE_SHARE = 0.6;

  /** Copies the list. */
  Hum {
    spans = List.copyOf(spans);
  }

  /** The hum that a meter has heard, or null. */
  static @Nullable Hum find(HumMeter meter) {
    List<HumMeter.Heard> best = List.of();
    for (double mainsHz : new double[] {50, 60}) {
      List<HumMeter.Heard> heard =
          meter.heard().stream().filter(one -> one.hum().mainsHz() == mainsHz).toList();
      if (!heard.isEmpty()) {
        double middleHz = median(heard, false);
        List<HumMeter.Heard> agreeing =
            heard.stream().filter(one -> Math.abs(one.hum().hz() - middleHz) <= SAME_HZ).toList();
        best = agreeing.size() > best.size() ? agreeing : best;
      }
    }
    if (best.isEmpty() || best.size() < LEAST_SHARE * meter.stretches()) {
      return null;
    }
    double levelDbfs = Decibels.ofPower(median(best, true));
    if (levelDbfs < LEAST_DBFS) {
      return null;
    }
    return new Hum(
        median(best, false),
        levelDbfs,
        best.stream().mapToInt(one -> one.hum().lines()).max().orElse(0),
        best.stream().mapToDouble(one -> one.hum().steadiness()).max().orElse(0),
        best.size() >= WHOLE_SHARE * meter.stretches() ? List.of() : merged(best));
  }

  private static double median(List<HumMeter.Heard> heard, boolean ofPower) {
    return Statistics.median(
        heard.stream().mapToDouble(one -> ofPower ? one.hum().power() : one.hum().hz()).toArray());
  }

  private static List<Span> merged(List<HumMeter.Heard> heard) {
    List<Span> spans = new ArrayList<>();
    for (HumMeter.Heard one : heard) {
      int last = spans.size() - 1;
      if (last >= 0 && one.span().startFrame() <= spans.get(last).endFrame()) {
        spans.set(last, new Span(spans.get(last).startFrame(), one.span().endFrame()));
      } else {
        spans.add(one.span());
      }
    }
    return spans;
  }
}
