package hardpan.demo;

import hardpan.signal.Windows;

/**
 * The way from one source to one microphone as an impulse response: the direct sound at an exact,
 * fractional delay, some early reflections, and a tail of noise that decays by 60 dB in the
 * reverberation time, faster at high frequencies.
 *
 * <p>Model: noise-like decaying tail after M. R. Schroeder, "Statistical parameters of the
 * frequency response curves of large rooms" (1954, translated in J. Audio Eng. Soc. 35, 1987).
 */
final class RoomMaker {
  /** Length of every response: 1.37 s at 48 kHz. */
  static final int TAPS = 65536;

  private static final double RATE = Stage.RATE_HZ;
  private static final int HALF_KERNEL = 48;
  private static final double KERNEL_BETA = 12;
  private static final double DAMPING_HZ = 3000;
  private static final int HALF_FILTER = 128;
  private static final int FILTER_BINS = 1024;

  private RoomMaker() {}

  /**
   * One way.
   *
   * @param delaySeconds flight time of the direct sound; 0, or at least 1 ms
   * @param gainDb level of the direct sound
   * @param directToReverberantDb energy of the direct sound over the energy of all that follows
   * @param reverberationSeconds time in which the tail falls by 60 dB
   */
  record Way(
      double delaySeconds,
      double gainDb,
      double directToReverberantDb,
      double reverberationSeconds) {}

  /** The impulse response, {@link #TAPS} long; another one for each seed. */
  static float[] response(Way way, long seed) {
    Dice dice = new Dice(Dice.seedFor(seed, "tail"));
    double[] tail = new double[TAPS];
    for (int i = 0; i < TAPS; i++) {
      tail[i] = dice.noise();
    }
    return assemble(way, tail, new Dice(Dice.seedFor(seed, "early")), 0);
  }

  /**
   * The two impulse responses of a spaced pair of microphones. Their early reflections come from
   * the same directions, and their tails are as alike at each frequency as a diffuse field makes
   * them: coherence sin(kd)/(kd) (R. K. Cook and others, JASA 27, 1955).
   *
   * @param spacingMetres between the two, above 0
   */
  static float[][] pairResponse(Way left, Way right, double spacingMetres, long seed) {
    Dice dice = new Dice(Dice.seedFor(seed, "pair tail"));
    double[] middle = filtered(dice, spacingMetres, 1);
    double[] side = filtered(dice, spacingMetres, -1);
    double[] leftTail = new double[TAPS];
    double[] rightTail = new double[TAPS];
    for (int i = 0; i < TAPS; i++) {
      leftTail[i] = middle[i] + side[i];
      rightTail[i] = middle[i] - side[i];
    }
    long early = Dice.seedFor(seed, "pair early");
    return new float[][] {
      assemble(left, leftTail, new Dice(early), -spacingMetres / 2),
      assemble(right, rightTail, new Dice(early), spacingMetres / 2)
    };
  }

  /** Noise through the filter sqrt((1 +- coherence) / 2), a linear-phase filter by its cosines. */
  private static double[] filtered(Dice dice, double spacingMetres, int sign) {
    double[] kernel = new double[2 * HALF_FILTER + 1];
    for (int bin = 0; bin < FILTER_BINS; bin++) {
      double hertz = (bin + 0.5) / FILTER_BINS * RATE / 2;
      double coherence = Windows.sinc(2 * hertz * spacingMetres / Stage.METRES_PER_SECOND);
      double wanted = Math.sqrt((1 + sign * coherence) / 2) / FILTER_BINS;
      for (int k = -HALF_FILTER; k <= HALF_FILTER; k++) {
        kernel[k + HALF_FILTER] += wanted * Math.cos(Math.PI * k * (bin + 0.5) / FILTER_BINS);
      }
    }
    double[] noise = new double[TAPS + 2 * HALF_FILTER];
    for (int i = 0; i < noise.length; i++) {
      noise[i] = dice.noise();
    }
    double[] out = new double[TAPS];
    for (int i = 0; i < TAPS; i++) {
      double sum = 0;
      for (int k = 0; k < kernel.length; k++) {
        sum += kernel[k] * noise[i + k];
      }
      out[i] = sum;
    }
    return out;
  }

  private static float[] assemble(Way way, double[] tail, Dice early, double sideMetres) {
    double direct = Math.pow(10, way.gainDb() / 20);
    double delayFrames = way.delaySeconds() * RATE;
    double[] late = new double[TAPS];
    int start = (int) Math.ceil(delayFrames) + HALF_KERNEL;
    addEarly(late, start, early, sideMetres);
    addTail(late, start + (int) (0.008 * RATE), tail, way.reverberationSeconds());
    double energy = 0;
    for (double value : late) {
      energy += value * value;
    }
    double wanted = direct * direct / Math.pow(10, way.directToReverberantDb() / 10);
    double lateGain = Math.sqrt(wanted / energy);
    float[] taps = new float[TAPS];
    for (int i = 0; i < TAPS; i++) {
      taps[i] = (float) (lateGain * late[i]);
    }
    addDirect(taps, delayFrames, direct);
    return taps;
  }

  private static void addEarly(double[] late, int start, Dice dice, double sideMetres) {
    double wait = 0.0008;
    for (int i = 0; i < 10; i++) {
      wait += dice.between(0.0012, 0.007);
      double nearer = sideMetres * dice.between(-1, 1) / Stage.METRES_PER_SECOND;
      int at = start + (int) Math.round((wait - nearer) * RATE);
      double level = dice.between(3, 7) * Math.exp(-wait / 0.035) * (dice.chance(0.7) ? 1 : -1);
      double remains = dice.between(0.45, 0.8);
      for (int k = 0; k < 12; k++) {
        late[at + k] += level * remains;
        level *= 1 - remains;
      }
    }
  }

  private static void addTail(double[] late, int start, double[] noise, double seconds) {
    double corner = 1 - Math.exp(-2 * Math.PI * DAMPING_HZ / RATE);
    double lowDecay = Math.pow(10, -3 / (seconds * RATE));
    double highDecay = Math.pow(10, -3 / (0.5 * seconds * RATE));
    double lowLevel = 1;
    double highLevel = 0.8;
    double low = 0;
    double fadeFrames = 0.012 * RATE;
    for (int i = start; i < TAPS; i++) {
      low += corner * (noise[i] - low);
      double fade = Math.min(1, (i - start) / fadeFrames);
      late[i] += fade * (lowLevel * low + highLevel * (noise[i] - low));
      lowLevel *= lowDecay;
      highLevel *= highDecay;
    }
  }

  private static void addDirect(float[] taps, double delayFrames, double gain) {
    if (delayFrames == 0) {
      taps[0] += (float) gain;
      return;
    }
    int whole = (int) Math.floor(delayFrames);
    if (whole < HALF_KERNEL) {
      throw new IllegalArgumentException("delay of " + delayFrames + " frames is too short");
    }
    for (int i = whole - HALF_KERNEL + 1; i <= whole + HALF_KERNEL; i++) {
      double away = i - delayFrames;
      taps[i] +=
          (float) (gain * Windows.sinc(away) * Windows.kaiserAt(away / HALF_KERNEL, KERNEL_BETA));
    }
  }
}
