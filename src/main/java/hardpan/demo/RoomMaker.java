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
    double direct = Math.pow(10, way.gainDb() / 20);
    double delayFrames = way.delaySeconds() * RATE;
    double[] late = late(way, delayFrames, new Dice(Dice.seedFor(seed, "room")));
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

  private static double[] late(Way way, double delayFrames, Dice dice) {
    double[] late = new double[TAPS];
    int start = (int) Math.ceil(delayFrames) + HALF_KERNEL;
    double wait = 0.0008;
    for (int i = 0; i < 10; i++) {
      wait += dice.between(0.0012, 0.007);
      int at = start + (int) (wait * RATE);
      double level = dice.between(3, 7) * Math.exp(-wait / 0.035) * (dice.chance(0.7) ? 1 : -1);
      double remains = dice.between(0.45, 0.8);
      for (int k = 0; k < 12; k++) {
        late[at + k] += level * remains;
        level *= 1 - remains;
      }
    }
    double corner = 1 - Math.exp(-2 * Math.PI * DAMPING_HZ / RATE);
    double lowDecay = Math.pow(10, -3 / (way.reverberationSeconds() * RATE));
    double highDecay = Math.pow(10, -3 / (0.5 * way.reverberationSeconds() * RATE));
    double lowLevel = 1;
    double highLevel = 0.8;
    double low = 0;
    int tailStart = start + (int) (0.008 * RATE);
    double fadeFrames = 0.012 * RATE;
    for (int i = tailStart; i < TAPS; i++) {
      double noise = dice.noise();
      low += corner * (noise - low);
      double fade = Math.min(1, (i - tailStart) / fadeFrames);
      late[i] += fade * (lowLevel * low + highLevel * (noise - low));
      lowLevel *= lowDecay;
      highLevel *= highDecay;
    }
    return late;
  }
}
