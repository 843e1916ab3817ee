package hardpan.signal;

import java.util.Arrays;

/**
 * Tells from the sound whether one stretch follows another without a gap.
 *
 * <p>The measure is how much better the first samples after the cut are foretold when the last
 * samples before it are known: the logarithm of the likelihood ratio of "one sound" against "two
 * sounds", for a Gaussian autoregressive sound whose spectrum is taken from both sides, its
 * loudness being unknown. It is positive for a sound that goes on, far below zero for two takes,
 * and near zero for white noise and silence, of which nothing can be foretold. What is usual for
 * this very sound is measured with the same formula at cuts inside both stretches, and at false
 * joins made of their pieces.
 */
public final class SeamTest {
  /** Frames that are of use on either side; more is ignored. */
  public static final int USEFUL_FRAMES = 8192;

  private static final int ORDER = 32;
  private static final int PIECE = 2048;
  private static final int LEAST_PIECE = 512;
  private static final int STEP = 128;

  /** Below the noise of any converter (-130 dBFS): nothing can be said of such a piece. */
  private static final double SILENT_POWER = 1e-13;

  /**
   * What proves. Measured on recorded voices and music: one false join in a thousand reaches it;
   * two channels reach it more easily than one (docs/accuracy.md).
   */
  private static final double PROOF_NATS = 6;

  /** So much better than nearly all false joins of the same sounds. */
  private static final double PROOF_DISTANCE_NATS = 2;

  /** Keeps exact silence from being infinitely sure. */
  private static final double LEAST_ERROR = 1e-9;

  /** 30 dB below the piece: a wave's way through zero is louder. */
  private static final double LEAST_SHARE = 1e-3;

  /** What refutes, if no cut inside either stretch looks as bad. */
  private static final double BROKEN_NATS = -9.2;

  private SeamTest() {}

  /** What the sound says. */
  public enum Answer {
    /** It goes on across the cut. */
    GOES_ON,
    /** It can neither prove nor deny. */
    CANNOT_TELL,
    /** It does not go on. */
    BROKEN
  }

  /**
   * The answer with its evidence.
   *
   * @param answer what the sound says
   * @param nats the measure at the cut
   * @param usualNats its median inside both stretches; 0 where nothing could be measured
   * @param falseNats what hardly a false join of their pieces reaches (the 99th percentile)
   */
  public record Result(Answer answer, double nats, double usualNats, double falseNats) {}

  private static final Result NOTHING = new Result(Answer.CANNOT_TELL, 0, 0, 0);

  /**
   * Tests a cut.
   *
   * @param before sound up to the cut, one array a channel, all of the same length
   * @param after sound from the cut on, the same channels
   * @return {@code CANNOT_TELL} with zeros if either is shorter than about a fiftieth of a second
   */
  public static Result test(float[][] before, float[][] after) {
    int channels = Math.min(before.length, after.length);
    int shorter = channels == 0 ? 0 : Math.min(before[0].length, after[0].length);
    int piece = Math.min(PIECE, shorter / 2 / STEP * STEP);
    if (piece < LEAST_PIECE) {
      return NOTHING;
    }
    double nats = 0;
    double[] inside = new double[0];
    double[] wrong = new double[0];
    for (int channel = 0; channel < channels; channel++) {
      Cuts left = new Cuts(tail(before[channel], piece), piece);
      Cuts right = new Cuts(head(after[channel], piece), piece);
      double[] cuts = concatenated(left.inside(), right.inside());
      double[] mixed = falseJoins(left, right);
      if (channel == 0) {
        inside = new double[cuts.length];
        wrong = new double[mixed.length];
      }
      Side end = left.before(left.last());
      Side start = right.after(0);
      double own = ratio(end, start);
      // Fading out and fading in fit together anywhere: that may refute, but it proves nothing.
      nats += isHeard(end) && isHeard(start) ? own : Math.min(0, own);
      add(cuts, inside);
      add(mixed, wrong);
    }
    return judged(nats, inside, wrong);
  }

  private static Result judged(double nats, double[] inside, double[] wrong) {
    Arrays.sort(inside);
    Arrays.sort(wrong);
    double usual = inside[inside.length / 2];
    double low = inside[inside.length / 20];
    double high = wrong[wrong.length * 99 / 100];
    Answer answer = Answer.CANNOT_TELL;
    if (nats >= PROOF_NATS && nats >= high + PROOF_DISTANCE_NATS && nats > 0.25 * low) {
      answer = Answer.GOES_ON;
    } else if (nats < BROKEN_NATS && nats < inside[0]) {
      answer = Answer.BROKEN;
    }
    return new Result(answer, nats, usual, high);
  }

  private static double[] falseJoins(Cuts left, Cuts right) {
    int count = left.count() + right.count();
    double[] nats = new double[4 * count];
    for (int i = 0; i < nats.length; i++) {
      // Steps without a common divisor meet every pairing before one comes again.
      int from = i % left.count();
      int to = (i * 7 + i / left.count()) % right.count();
      boolean isTheCut = from == left.count() - 1 && to == 0;
      nats[i] = ratio(left.before(from), right.after(isTheCut ? 1 : to));
    }
    return nats;
  }

  /** As much of the end as whole steps fill. */
  private static double[] tail(float[] sound, int piece) {
    return widened(sound, sound.length - whole(sound.length, piece), sound.length);
  }

  private static double[] head(float[] sound, int piece) {
    return widened(sound, 0, whole(sound.length, piece));
  }

  private static int whole(int frames, int piece) {
    return piece + (Math.min(frames, USEFUL_FRAMES) - piece) / STEP * STEP;
  }

  private static double[] widened(float[] sound, int from, int to) {
    double[] wide = new double[to - from];
    for (int i = 0; i < wide.length; i++) {
      wide[i] = sound[from + i];
    }
    return wide;
  }

  private static double[] concatenated(double[] first, double[] second) {
    double[] all = Arrays.copyOf(first, first.length + second.length);
    System.arraycopy(second, 0, all, first.length, second.length);
    return all;
  }

  private static void add(double[] values, double[] sums) {
    for (int i = 0; i < sums.length; i++) {
      sums[i] += values[i];
    }
  }

  /**
   * A piece of sound on one side of a cut.
   *
   * @param sound the samples nearest to the cut: {@link #ORDER} of them
   * @param autocorrelation of the whole piece
   */
  private record Side(double[] sound, double[] autocorrelation) {}

  /** Log likelihood ratio of one sound against two. */
  private static double ratio(Side before, Side after) {
    double[] both = new double[ORDER + 1];
    for (int lag = 0; lag <= ORDER; lag++) {
      both[lag] = (before.autocorrelation[lag] + after.autocorrelation[lag]) / 2;
    }
    if (both[0] < SILENT_POWER) {
      return 0;
    }
    LinearPrediction prediction = LinearPrediction.of(both);
    double[] joined = concatenated(before.sound, after.sound);
    double sum = 0;
    double knownSum = LEAST_ERROR;
    double aloneSum = LEAST_ERROR;
    for (int i = 0; i < ORDER; i++) {
      double known = prediction.error(ORDER, joined, ORDER + i);
      double alone = prediction.error(i, after.sound, i);
      double knownPower = prediction.errorPower(ORDER);
      double alonePower = prediction.errorPower(i);
      sum += Math.log(alonePower / knownPower);
      knownSum += known * known / knownPower;
      aloneSum += alone * alone / alonePower;
    }
    // The loudness right at the cut is taken as unknown: where it is far below that of the pieces,
    // as where a take fades in, any prediction would do well by theirs.
    return (sum + ORDER * Math.log(aloneSum / knownSum)) / 2;
  }

  /** Whether both sides are about as loud right at the cut as further away from it. */
  private static boolean isHeard(Side side) {
    double power = 0;
    for (double sample : side.sound) {
      power += sample * sample / ORDER;
    }
    return power >= LEAST_SHARE * side.autocorrelation[0];
  }

  /** All cuts through one stretch, {@link #STEP} frames apart. */
  private static final class Cuts {
    private final double[] sound;
    private final int piece;
    private final float[] window;
    private final Side[] pieces;

    Cuts(double[] sound, int piece) {
      this.sound = sound;
      this.piece = piece;
      this.window = Windows.hann(piece);
      this.pieces = new Side[2 * count()];
    }

    /** How many pieces there are. */
    int count() {
      return (sound.length - piece) / STEP + 1;
    }

    int last() {
      return count() - 1;
    }

    /** The number-th piece as the one before a cut; the last ends with the stretch. */
    Side before(int number) {
      int end = piece + number * STEP;
      if (pieces[number] == null) {
        pieces[number] =
            new Side(Arrays.copyOfRange(sound, end - ORDER, end), autocorrelation(end - piece));
      }
      return pieces[number];
    }

    /** The number-th piece as the one after a cut; the first begins with the stretch. */
    Side after(int number) {
      int start = number * STEP;
      int slot = count() + number;
      if (pieces[slot] == null) {
        pieces[slot] =
            new Side(Arrays.copyOfRange(sound, start, start + ORDER), autocorrelation(start));
      }
      return pieces[slot];
    }

    /** The measure at cuts inside, where the sound is known to go on. */
    double[] inside() {
      int between = piece / STEP;
      double[] nats = new double[count() - between];
      for (int i = 0; i < nats.length; i++) {
        nats[i] = ratio(before(i), after(i + between));
      }
      return nats;
    }

    private double[] autocorrelation(int start) {
      double[] weighted = new double[piece];
      double power = 0;
      for (int i = 0; i < piece; i++) {
        weighted[i] = window[i] * sound[start + i];
        power += window[i] * window[i];
      }
      double[] lags = new double[ORDER + 1];
      for (int lag = 0; lag <= ORDER; lag++) {
        double sum = 0;
        for (int i = lag; i < piece; i++) {
          sum += weighted[i] * weighted[i - lag];
        }
        lags[lag] = sum / power;
      }
      return lags;
    }
  }
}
