package hardpan.verdict;

import hardpan.signal.Decibels;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Mains hum: narrow lines at one fundamental near 50 or 60 Hz and its exact multiples, there nearly
 * all the time.
 *
 * <p>The fundamental is searched within 1 % (EN 50160 allows mains to be that far off, from
 * memory). A bass note lies at least 2 % beside it and does not last; a voice glides.
 *
 * @param fundamentalHz the fundamental
 * @param levelDbfs level of all its lines together, RMS, 0 dB being a full-scale square wave
 * @param lines how many of its lines stand out
 * @param prominenceDb how far the clearest one stands above its surroundings
 */
record Hum(double fundamentalHz, double levelDbfs, int lines, double prominenceDb) {
  private static final double[] MAINS_HZ = {50, 60};
  private static final double FREE = 0.01;
  private static final double SEARCH_HZ = 0.02;
  private static final int MOST_LINES = 6;
  private static final int LEAST_SPECTRA = 2;

  /** What is there in all but a quarter of the spectra is there always. */
  private static final double ALWAYS = 0.25;

  private static final double MOSTLY = 0.6;
  private static final double SELDOM_LESS = 0.1;

  /** Share of the surroundings that a line must stand above. */
  private static final double SURROUNDINGS = 0.8;

  /** A line may be this far from its exact place. */
  private static final double LINE_HZ = 0.3;

  private static final double PEAK_HZ = 1.3;
  private static final double NEAR_HZ = 2;
  private static final double FAR_HZ = 9;
  private static final double LEAST_PROMINENCE_DB = 8;
  private static final double CLEAR_PROMINENCE_DB = 14;
  private static final double MOST_VARIATION_DB = 5;

  /** A single line must be steadier, and louder, to be believed. */
  private static final double MOST_VARIATION_ALONE_DB = 2;

  private static final double LEAST_ALONE_DBFS = -62;
  private static final double LEAST_DBFS = -70;
  private static final double COUNTED_DB = 25;

  /** The hum that a meter has heard, or null. */
  static @Nullable Hum find(HumMeter meter) {
    if (meter.spectra() < LEAST_SPECTRA) {
      return null;
    }
    Search search = new Search(meter);
    Hum best = null;
    double bestScore = 0;
    for (double mains : MAINS_HZ) {
      for (double hz = mains * (1 - FREE); hz <= mains * (1 + FREE); hz += SEARCH_HZ) {
        double score = search.score(hz);
        if (score > bestScore) {
          bestScore = score;
          best = search.hum(hz);
        }
      }
    }
    if (best == null) {
      return null;
    }
    return best.levelDbfs >= (best.lines > 1 ? LEAST_DBFS : LEAST_ALONE_DBFS) ? best : null;
  }

  private static final class Search {
    private final double[] always;
    private final double[] mostly;
    private final double[] low;
    private final double firstHz;
    private final double binHz;

    Search(HumMeter meter) {
      this.always = meter.quantile(ALWAYS);
      this.mostly = meter.quantile(MOSTLY);
      this.low = meter.quantile(SELDOM_LESS);
      this.firstHz = meter.firstHz();
      this.binHz = meter.binHz();
    }

    /** Sum of what the lines stand out by; 0 unless it is hum. */
    double score(double hz) {
      double score = 0;
      int lines = 0;
      double clearest = 0;
      double steadiest = Double.POSITIVE_INFINITY;
      for (int k = 1; k <= MOST_LINES; k++) {
        double prominence = prominence(k * hz);
        if (prominence >= LEAST_PROMINENCE_DB) {
          lines++;
          steadiest = Math.min(steadiest, variation(peak(k * hz)));
          // Nearness to the exact place decides between neighbours.
          score += Math.min(COUNTED_DB, prominence) - 10 * offHz(k * hz);
          clearest = Math.max(clearest, prominence);
        }
      }
      boolean alone = lines == 1 && steadiest > MOST_VARIATION_ALONE_DB;
      return clearest >= CLEAR_PROMINENCE_DB && !alone ? score : 0;
    }

    Hum hum(double hz) {
      double power = 0;
      int lines = 0;
      double clearest = 0;
      for (int k = 1; k <= MOST_LINES; k++) {
        double prominence = prominence(k * hz);
        if (prominence >= LEAST_PROMINENCE_DB) {
          power += Math.pow(10, always[peak(k * hz)] / 10);
          lines++;
          clearest = Math.max(clearest, prominence);
        }
      }
      return new Hum(hz, Decibels.ofPower(power), lines, clearest);
    }

    private int bin(double hz) {
      return (int) Math.round((hz - firstHz) / binHz);
    }

    /** The strongest place near a frequency. */
    private int peak(double hz) {
      int best = bin(hz);
      for (int b = bin(hz - LINE_HZ); b <= bin(hz + LINE_HZ); b++) {
        best = always[b] > always[best] ? b : best;
      }
      return best;
    }

    private double offHz(double hz) {
      int peak = peak(hz);
      double curve = always[peak - 1] - 2 * always[peak] + always[peak + 1];
      double between = curve < 0 ? 0.5 * (always[peak - 1] - always[peak + 1]) / curve : 0;
      return Math.abs(firstHz + (peak + between) * binHz - hz);
    }

    private double prominence(double hz) {
      int peak = peak(hz);
      int reach = (int) Math.round(PEAK_HZ / binHz);
      for (int b = Math.max(0, peak - reach); b <= Math.min(always.length - 1, peak + reach); b++) {
        if (always[b] > always[peak]) {
          return 0;
        }
      }
      if (variation(peak) > MOST_VARIATION_DB) {
        return 0;
      }
      int near = (int) Math.round(NEAR_HZ / binHz);
      int far = (int) Math.round(FAR_HZ / binHz);
      double below = surroundings(peak - far, peak - near);
      double above = surroundings(peak + near, peak + far);
      return always[peak] - Math.max(below, above);
    }

    /** How much a place's level changes with time. */
    private double variation(int bin) {
      return Math.max(mostly[bin] - always[bin], always[bin] - low[bin]);
    }

    private double surroundings(int from, int to) {
      int first = Math.max(0, from);
      int last = Math.min(mostly.length, to);
      if (last - first < 4) {
        return Double.NEGATIVE_INFINITY;
      }
      double[] part = Arrays.copyOfRange(mostly, first, last);
      Arrays.sort(part);
      return part[(int) (SURROUNDINGS * (part.length - 1))];
    }
  }
}
