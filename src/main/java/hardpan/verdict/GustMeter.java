package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import java.util.ArrayList;
import java.util.List;

/**
 * Finds moving air at the microphone: strong sound below 25 Hz, where neither voices nor
 * instruments have any. Long stretches of it are wind, short ones pops of the breath or knocks.
 *
 * <p>Works on slow sound, in steps of 50 ms. Strong means: not far below what lies between 50 and
 * 200 Hz, so that the edges of a bass note do not count. Keeps at most {@value #MOST} places of
 * each kind.
 */
final class GustMeter implements SlowSound.Sink {
  static final int MOST = 1000;

  private static final double STEP_SECONDS = 0.05;
  private static final double LEAST_RATE_HZ = 450;
  private static final double WIND_DBFS = -50;
  private static final double WIND_BELOW_BASS_DB = 8;
  private static final double POP_DBFS = -42;
  private static final double POP_ABOVE_BASS_DB = 0;

  /** Up to 400 ms is a pop, from half a second on a gust. */
  private static final int POP_STEPS = 8;

  private static final int GUST_STEPS = 10;

  /** A gust may pause for as long. */
  private static final int REST_STEPS = 6;

  private final boolean measurable;
  private final int stepSamples;
  private final int framesPerSample;
  private final Section[] deep;
  private final Section[] bass;
  private final List<Span> pops = new ArrayList<>();
  private final List<Span> gusts = new ArrayList<>();

  private double deepSum;
  private double bassSum;
  private int fill;
  private long steps;
  private long runStart = -1;
  private long runLast;
  private long runSteps;
  private boolean runPops;
  private double loudest = Double.NEGATIVE_INFINITY;
  private long gustSteps;

  GustMeter(int rateHz) {
    double slowHz = SlowSound.rateHz(rateHz);
    this.measurable = slowHz >= LEAST_RATE_HZ;
    this.framesPerSample = SlowSound.framesPerSample(rateHz);
    this.stepSamples = Math.max(1, (int) Math.round(STEP_SECONDS * slowHz));
    double[] q = {0.5412, 1.3066};
    this.deep =
        new Section[] {
          Section.of(false, 6, 0.7071, slowHz),
          Section.of(true, 25, q[0], slowHz),
          Section.of(true, 25, q[1], slowHz)
        };
    this.bass =
        new Section[] {
          Section.of(false, 50, 0.7071, slowHz), Section.of(true, 200, 0.7071, slowHz)
        };
  }

  @Override
  public void add(float sample) {
    if (!measurable) {
      return;
    }
    double low = sample;
    for (Section section : deep) {
      low = section.next(low);
    }
    double high = sample;
    for (Section section : bass) {
      high = section.next(high);
    }
    deepSum += low * low;
    bassSum += high * high;
    if (++fill == stepSamples) {
      close();
    }
  }

  private void close() {
    double deepDb = Decibels.ofPower(deepSum / stepSamples);
    double bassDb = Decibels.ofPower(bassSum / stepSamples);
    deepSum = 0;
    bassSum = 0;
    fill = 0;
    if (deepDb >= WIND_DBFS && deepDb >= bassDb - WIND_BELOW_BASS_DB) {
      if (runStart < 0) {
        runStart = steps;
        runSteps = 0;
        runPops = false;
      }
      runLast = steps;
      runSteps++;
      runPops |= deepDb >= POP_DBFS && deepDb >= bassDb + POP_ABOVE_BASS_DB;
      loudest = Math.max(loudest, deepDb);
    } else if (runStart >= 0 && steps - runLast > REST_STEPS) {
      endRun();
    }
    steps++;
  }

  private void endRun() {
    long length = runLast - runStart + 1;
    Span span = span(runStart, runLast + 1);
    if (length <= POP_STEPS && runPops) {
      keep(pops, span);
    } else if (length >= GUST_STEPS) {
      keep(gusts, span);
      gustSteps += runSteps;
    }
    runStart = -1;
  }

  private Span span(long from, long to) {
    long frames = (long) stepSamples * framesPerSample;
    return new Span(from * frames, to * frames);
  }

  private static void keep(List<Span> spans, Span span) {
    if (spans.size() < MOST) {
      spans.add(span);
    }
  }

  /** Ends what is still going on; call once. */
  void finish() {
    if (runStart >= 0) {
      endRun();
    }
  }

  /** Short bursts. */
  List<Span> pops() {
    return pops;
  }

  /** Long ones. */
  List<Span> gusts() {
    return gusts;
  }

  /** Seconds of wind. */
  double gustSeconds() {
    return gustSteps * STEP_SECONDS;
  }

  /** Level of the loudest 50 ms of any of them below 25 Hz, in dBFS. */
  double loudestDbfs() {
    return loudest;
  }

  /** One filter section of second order, after R. Bristow-Johnson's published formulas. */
  private static final class Section {
    private final double b0;
    private final double b1;
    private final double a1;
    private final double a2;
    private double state1;
    private double state2;

    private Section(double b0, double b1, double a1, double a2) {
      this.b0 = b0;
      this.b1 = b1;
      this.a1 = a1;
      this.a2 = a2;
    }

    static Section of(boolean low, double hz, double q, double rateHz) {
      double angle = 2 * Math.PI * hz / rateHz;
      double cos = Math.cos(angle);
      double alpha = Math.sin(angle) / (2 * q);
      double edge = (low ? 1 - cos : 1 + cos) / 2 / (1 + alpha);
      return new Section(
          edge, low ? 2 * edge : -2 * edge, -2 * cos / (1 + alpha), (1 - alpha) / (1 + alpha));
    }

    double next(double in) {
      double out = b0 * in + state1;
      state1 = b1 * in - a1 * out + state2;
      state2 = b0 * in - a2 * out;
      return out;
    }
  }
}
