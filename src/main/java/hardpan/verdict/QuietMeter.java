package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import hardpan.signal.Fft;
import hardpan.signal.Statistics;
import hardpan.signal.Windows;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Listens to the quiet moments: how loud the noise in them is, and whether it swells while nothing
 * is said, as an automatic gain control makes it.
 *
 * <p>Every 50 ms a short spectrum between 300 Hz and 8 kHz tells its level and whether it is noise:
 * the powers of neighbouring bins of noise spread as those of chance do, whatever its colour; a
 * voice or a note has lines. For white noise the logarithm of a bin's power has a mean of 0.577
 * (Euler's constant) below that of its mean.
 */
final class QuietMeter {
  private static final int LEVELS_PER_SECOND = 20;
  private static final int MOST_POINTS = 1024;
  private static final double LOWEST_HZ = 300;
  private static final double HIGHEST_HZ = 8000;
  private static final int BESIDE = 8;
  private static final int LEAST_BINS = 40;

  /** Mean square of a Hann window. */
  private static final double WINDOW_POWER = 0.375;

  private static final double LOUD_WITHIN_DB = 5;
  private static final double LOWEST_DB = -130;
  private static final int BINS = 280;

  /** Noise has 0.56 and a little more, voices and notes 0.1 to 0.35. */
  private static final double NOISE_LIKE = 0.38;

  private static final double PAUSE_BELOW_DB = 11;
  private static final int LEAST_PAUSE = 11;
  private static final int MOST_PAUSE = 200;
  private static final int TAIL = 4;
  private static final int REMEMBERED = 60;
  private static final int MOST_PAUSES = 20_000;

  private static final double LEAST_RISE_DB = 2.5;
  private static final int FIFTHS = 5;
  private static final double MOST_DB_PER_SECOND = 22;

  /** Chance bends the level of noise by 0.6 dB from one 50 ms to the next, notes by more. */
  private static final double MOST_BEND_DB = 1.4;

  /** Fainter noise is what a codec makes of it. */
  private static final double LEAST_NOISE_DBFS = -80;

  /** From one fifth of a pause to the next, noise may go the other way by chance. */
  private static final double BACK_DB = 0.8;

  private final int stretchFrames;
  private final int points;
  private final int firstBin;
  private final int lastBin;
  private final float[] window;
  private final float[] stretch;
  private final float[] data;
  private final double[] sums;
  private final long[] counts = new long[BINS];
  private final double[] likeness = new double[BINS];
  private final double[] recent = new double[REMEMBERED];
  private final double[] pause = new double[MOST_PAUSE];
  private final List<Pause> pauses = new ArrayList<>();

  private int fill;
  private long stretches;
  private int pauseLength;
  private double beforePause;

  QuietMeter(int rateHz) {
    this.stretchFrames = Math.max(1, rateHz / LEVELS_PER_SECOND);
    int size = 4;
    while (2 * size <= Math.min(MOST_POINTS, stretchFrames)) {
      size *= 2;
    }
    this.points = size;
    double highestHz = Math.min(HIGHEST_HZ, 0.4 * rateHz);
    this.firstBin = Math.max(1, (int) Math.ceil(LOWEST_HZ * points / rateHz));
    this.lastBin = (int) Math.floor(highestHz * points / rateHz);
    this.window = Windows.hann(points);
    this.stretch = new float[stretchFrames];
    this.data = new float[points];
    this.sums = new double[points / 2 + 1];
    Arrays.fill(recent, LOWEST_DB);
  }

  /**
   * A pause of half a second and more.
   *
   * @param span where
   * @param riseDb how much its noise rises from its beginning to its end; NaN where it does not
   *     move evenly
   */
  record Pause(Span span, double riseDb) {}

  /** Takes the next samples, all of them numbers. */
  void add(float[] samples, int frameCount) {
    for (int done = 0; done < frameCount; ) {
      int count = Math.min(frameCount - done, stretchFrames - fill);
      System.arraycopy(samples, done, stretch, fill, count);
      fill += count;
      done += count;
      if (fill == stretchFrames) {
        fill = 0;
        close();
      }
    }
  }

  private void close() {
    stretches++;
    if (lastBin - firstBin < LEAST_BINS) {
      return;
    }
    int from = (stretchFrames - points) / 2;
    double energy = 0;
    for (int i = 0; i < points; i++) {
      data[i] = window[i] * stretch[from + i];
      energy += (double) data[i] * data[i];
    }
    double loud = Decibels.ofPower(energy / (WINDOW_POWER * points));
    if (loud > loudest() - LOUD_WITHIN_DB) {
      // As loud as the programme, so that only its level counts; most of the time is so.
      count(loud, 0);
      remember(loud);
      endPause();
      return;
    }
    Fft.ofSize(points).forward(data);
    double total = 0;
    sums[firstBin] = 0;
    for (int b = firstBin; b < lastBin; b++) {
      double power = square(b);
      total += power;
      sums[b + 1] = total;
    }
    // Half of the power is at negative frequencies.
    double db = Decibels.ofPower(total * 2 / (WINDOW_POWER * points) / points);
    if (!(db > LOWEST_DB)) {
      endPause();
      return;
    }
    double like = noiseLikeness();
    count(db, like);
    pauseStep(db, like);
    remember(db);
  }

  private void count(double db, double like) {
    int bin = (int) Math.max(0, Math.min(BINS - 1, 2 * (db - LOWEST_DB)));
    counts[bin]++;
    likeness[bin] += like;
  }

  private void remember(double db) {
    recent[(int) (stretches % REMEMBERED)] = db;
  }

  /** The loudest of the last three seconds. */
  private double loudest() {
    double most = LOWEST_DB;
    for (double db : recent) {
      most = Math.max(most, db);
    }
    return most;
  }

  private double square(int bin) {
    return (double) data[2 * bin] * data[2 * bin] + (double) data[2 * bin + 1] * data[2 * bin + 1];
  }

  /** Geometric mean of the bins' powers over the means of their neighbourhoods. */
  private double noiseLikeness() {
    double logs = 0;
    double product = 1;
    int inProduct = 0;
    for (int b = firstBin; b < lastBin; b++) {
      int low = Math.max(firstBin, b - BESIDE);
      int high = Math.min(lastBin, b + BESIDE + 1);
      double mean = (sums[high] - sums[low]) / (high - low);
      product *= mean > 0 ? Math.max(1e-6, square(b) / mean) : 1;
      // One logarithm for several bins.
      if (++inProduct == 16) {
        logs += Math.log(product);
        product = 1;
        inProduct = 0;
      }
    }
    logs += Math.log(product);
    return Math.exp(logs / (lastBin - firstBin));
  }

  private void pauseStep(double db, double like) {
    double loudest = pauseLength > 0 ? beforePause : Arrays.stream(recent).max().orElse(LOWEST_DB);
    if (like >= NOISE_LIKE && db <= loudest - PAUSE_BELOW_DB && pauseLength < MOST_PAUSE) {
      beforePause = loudest;
      pause[pauseLength++] = db;
    } else {
      endPause();
    }
  }

  private void endPause() {
    if (pauseLength >= LEAST_PAUSE && pauses.size() < MOST_PAUSES) {
      long end = (stretches - 1) * stretchFrames;
      Span span = new Span(end - (long) pauseLength * stretchFrames, end);
      pauses.add(new Pause(span, rise(Arrays.copyOfRange(pause, TAIL, pauseLength - 1))));
    }
    pauseLength = 0;
  }

  /**
   * From the first fifth to the last, if the fifths between go the same way, as evenly and slowly
   * as a gain does.
   */
  private static double rise(double[] db) {
    double[] bends = new double[db.length - 2];
    for (int i = 0; i < bends.length; i++) {
      bends[i] = Math.abs(db[i] - 2 * db[i + 1] + db[i + 2]);
    }
    if (Statistics.median(bends) > MOST_BEND_DB || Statistics.median(db) < LEAST_NOISE_DBFS) {
      return Double.NaN;
    }
    double[] fifths = new double[FIFTHS];
    for (int k = 0; k < FIFTHS; k++) {
      fifths[k] =
          Statistics.median(
              Arrays.copyOfRange(db, k * db.length / FIFTHS, (k + 1) * db.length / FIFTHS));
    }
    double rise = fifths[FIFTHS - 1] - fifths[0];
    double seconds = 0.8 * db.length / LEVELS_PER_SECOND;
    if (rise > MOST_DB_PER_SECOND * seconds) {
      return Double.NaN;
    }
    for (int k = 1; k < FIFTHS; k++) {
      if (Math.signum(rise) * (fifths[k] - fifths[k - 1]) < -BACK_DB) {
        return Double.NaN;
      }
    }
    return rise;
  }

  /** Ends a pause that goes on to the end; call once. */
  void finish() {
    stretches++;
    endPause();
  }

  /** All pauses, in order. */
  List<Pause> pauses() {
    return pauses;
  }

  /** Those in which the noise swells. */
  List<Pause> swelling() {
    return pauses.stream().filter(pause -> pause.riseDb >= LEAST_RISE_DB).toList();
  }

  /**
   * A quantile of the levels between 300 Hz and 8 kHz, in dBFS RMS; negative infinity for nothing
   * but digital silence.
   */
  double quantile(double share) {
    long total = Arrays.stream(counts).sum();
    long wanted = (long) Math.floor(share * (total - 1));
    long seen = 0;
    for (int bin = 0; bin < BINS && total > 0; bin++) {
      seen += counts[bin];
      if (seen > wanted) {
        return LOWEST_DB + (bin + 0.5) / 2;
      }
    }
    return Double.NEGATIVE_INFINITY;
  }

  /** Mean likeness to noise of all stretches up to a level: 0.56 and more is noise, 0 a tone. */
  double likenessUpTo(double dbfs) {
    double sum = 0;
    long number = 0;
    for (int bin = 0; bin < BINS && LOWEST_DB + bin / 2.0 <= dbfs; bin++) {
      sum += likeness[bin];
      number += counts[bin];
    }
    return number == 0 ? 0 : sum / number;
  }
}
