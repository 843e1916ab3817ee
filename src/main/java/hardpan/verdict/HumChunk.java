package hardpan.verdict;

import hardpan.signal.Fft;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Looks for mains hum in some seconds of slow sound.
 *
 * <p>Mains holds its frequency within about 0.02 Hz for minutes and goes on through pauses at the
 * same level and without a jump of phase. So the amplitude and phase near each multiple are taken
 * eight times a second and a half, weighted so that pauses count and talk above them does not, and
 * the sum over all of them is asked for one frequency at which they turn in step. Notes and voices,
 * however near, do not stay in step for so long.
 */
final class HumChunk {
  /** Multiples beyond this are not looked at. */
  static final double HIGHEST_HZ = 380;

  private static final int SEGMENT = 128;
  private static final int HOP = 64;
  private static final double[] WINDOW = window();

  /** Points of the spectrum over segments; some 0.008 Hz from one to the next. */
  private static final int SPECTRUM = 2048;

  private static final double[] MAINS_HZ = {50, 60};

  /** EN 50160 allows mains to be 1 % off (from memory). */
  private static final double FREE = 0.01;

  private static final double SEARCH_HZ = 0.004;

  /** What chance makes at one line is left out of the score. */
  private static final double CHANCE = 4;

  private static final double LINE = 8;

  /** A high note may lie on a high multiple; one of the first three lines must be clear. */
  private static final int LOW_LINES = 3;

  private static final double CLEAR = 45;
  private static final double CLEAR_SHARE = 0.3;
  private static final double LEAST_CLEAR = 24;

  /** Share of the segments that are quieter than what counts fully. */
  private static final double QUIET = 0.25;

  private static final double SILENCE = 1e-7;

  private final float[] slow;
  private final int segments;
  private final double slowHz;
  private final double segmentHz;

  private HumChunk(float[] slow, int count, double slowHz) {
    this.slow = slow;
    this.segments = (count - SEGMENT) / HOP + 1;
    this.slowHz = slowHz;
    this.segmentHz = slowHz / HOP;
  }

  /**
   * A hum.
   *
   * @param mainsHz 50 or 60
   * @param hz the fundamental
   * @param power mean square of all its lines
   * @param lines how many of its lines are there
   * @param steadiness how much of the clearest line turns in step, 0 to 1
   */
  record Found(double mainsHz, double hz, double power, int lines, double steadiness) {}

  /**
   * The hum in a stretch of sound.
   *
   * @param slow samples without content above half their rate
   * @param count how many of them; at least four seconds' worth to tell anything
   * @param slowHz their rate
   * @return null if there is none
   */
  static @Nullable Found find(float[] slow, int count, double slowHz) {
    if (count < 4 * slowHz || count > HOP * (SPECTRUM - 2)) {
      return null;
    }
    HumChunk chunk = new HumChunk(slow, count, slowHz);
    Found best = null;
    double bestScore = 0;
    for (double mains : MAINS_HZ) {
      Line[] lines = new Line[(int) (HIGHEST_HZ / (mains * (1 + FREE)))];
      for (int k = 1; k <= lines.length; k++) {
        lines[k - 1] = chunk.new Line(k, k * mains);
      }
      double hz = mains;
      double most = 0;
      for (double off = -FREE * mains; off <= FREE * mains; off += SEARCH_HZ) {
        double score = 0;
        for (Line line : lines) {
          score += Math.max(0, line.inStep(off) - CHANCE);
        }
        if (score > most) {
          most = score;
          hz = mains + off;
        }
      }
      if (most > bestScore) {
        bestScore = most;
        best = chunk.found(lines, mains, hz);
      }
    }
    return best;
  }

  private @Nullable Found found(Line[] lines, double mainsHz, double hz) {
    double clearest = 0;
    for (int k = 0; k < LOW_LINES; k++) {
      clearest = Math.max(clearest, lines[k].inBothHalves(hz - mainsHz));
    }
    if (clearest < Math.max(LEAST_CLEAR, Math.min(CLEAR, CLEAR_SHARE * segments))) {
      return null;
    }
    double power = 0;
    int there = 0;
    for (Line line : lines) {
      if (line.inStep(hz - mainsHz) >= LINE) {
        there++;
        power += line.power(hz - mainsHz);
      }
    }
    return new Found(mainsHz, hz, power, there, Math.min(1, clearest / segments));
  }

  /** A window over which a tone of amplitude 1 sums up to 1. */
  private static double[] window() {
    double[] window = new double[SEGMENT];
    for (int i = 0; i < SEGMENT; i++) {
      window[i] = (1 - Math.cos(2 * Math.PI * (i + 0.5) / SEGMENT)) / SEGMENT;
    }
    return window;
  }

  /** What is near one multiple, segment by segment. */
  private final class Line {
    private final int number;
    private final double quiet;
    private final float[] re = new float[SPECTRUM];
    private final float[] im = new float[SPECTRUM];
    private final float[] reSpectrum;
    private final float[] imSpectrum;
    private double squares;
    private double weights;

    Line(int number, double hz) {
      this.number = number;
      double step = 2 * Math.PI * hz / slowHz;
      double[] cos = new double[SEGMENT];
      double[] sin = new double[SEGMENT];
      for (int i = 0; i < SEGMENT; i++) {
        cos[i] = WINDOW[i] * Math.cos(step * i);
        sin[i] = WINDOW[i] * Math.sin(step * i);
      }
      double[] sizes = new double[segments];
      for (int s = 0; s < segments; s++) {
        double a = 0;
        double b = 0;
        int from = s * HOP;
        for (int i = 0; i < SEGMENT; i++) {
          a += cos[i] * slow[from + i];
          b -= sin[i] * slow[from + i];
        }
        double turn = step * from;
        double c = Math.cos(turn);
        double d = Math.sin(turn);
        re[s] = (float) (a * c + b * d);
        im[s] = (float) (b * c - a * d);
        sizes[s] = Math.sqrt(a * a + b * b);
      }
      double[] sorted = sizes.clone();
      Arrays.sort(sorted);
      this.quiet = Math.max(SILENCE, sorted[(int) (QUIET * (segments - 1))]);
      for (int s = 0; s < segments; s++) {
        double size = Math.max(sizes[s], quiet);
        double weight = quiet * quiet / (size * size);
        weights += weight;
        re[s] *= (float) (weight / quiet);
        im[s] *= (float) (weight / quiet);
        squares += re[s] * re[s] + im[s] * im[s];
      }
      this.reSpectrum = re.clone();
      this.imSpectrum = im.clone();
      Fft.ofSize(SPECTRUM).forward(reSpectrum);
      Fft.ofSize(SPECTRUM).forward(imSpectrum);
    }

    /**
     * How far the segments turn in step at a fundamental so many hertz off: about 1 for noise, the
     * number of segments for a tone.
     */
    double inStep(double offHz) {
      int bin = (int) Math.round(number * offHz / segmentHz * SPECTRUM);
      double size = bin == 0 ? square(reSpectrum[0], imSpectrum[0]) : beside(bin);
      return squares > 0 ? size / squares : 0;
    }

    private double beside(int bin) {
      int at = 2 * Math.abs(bin);
      int sign = bin < 0 ? -1 : 1;
      return square(
          reSpectrum[at] - sign * imSpectrum[at + 1], sign * reSpectrum[at + 1] + imSpectrum[at]);
    }

    /** The same in each half by itself; twice the lesser. */
    double inBothHalves(double offHz) {
      double turn = -2 * Math.PI * number * offHz / segmentHz;
      double least = Double.POSITIVE_INFINITY;
      for (int half = 0; half < 2; half++) {
        double a = 0;
        double b = 0;
        double sum = 0;
        for (int s = half * segments / 2; s < (half + 1) * segments / 2; s++) {
          double c = Math.cos(turn * s);
          double d = Math.sin(turn * s);
          a += re[s] * c - im[s] * d;
          b += re[s] * d + im[s] * c;
          sum += square(re[s], im[s]);
        }
        least = Math.min(least, sum > 0 ? square(a, b) / sum : 0);
      }
      return 2 * least;
    }

    /** Mean square of the line. */
    double power(double offHz) {
      double amplitude = Math.sqrt(inStep(offHz) * squares) / weights * quiet;
      return 2 * amplitude * amplitude;
    }

    private static double square(double a, double b) {
      return a * a + b * b;
    }
  }
}
