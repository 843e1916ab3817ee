package hardpan.demo;

/**
 * The people who listen: a quiet rustle all evening, and applause. Applause is many single claps,
 * each a few milliseconds of noise in a band of its own, at each person's own rate (common
 * practice, no source).
 */
final class CrowdMaker {
  private static final double RATE = Stage.RATE_HZ;
  private static final int PEOPLE = 45;
  private static final int CLAP_FRAMES = 1200;
  private static final double RUSTLE_RMS = 0.0012;

  private CrowdMaker() {}

  /**
   * The audience's sound.
   *
   * @param seed which audience
   * @param startSecond first sample, event seconds
   * @param endSecond end
   * @param applause start, end and strength of each applause, event seconds, strength 0 to 1
   */
  static Stem gather(long seed, double startSecond, double endSecond, double[][] applause) {
    float[] samples = new float[(int) ((endSecond - startSecond) * RATE)];
    addRustle(samples, new Dice(Dice.seedFor(seed, "rustle")));
    Dice dice = new Dice(Dice.seedFor(seed, "applause"));
    for (double[] hands : applause) {
      for (int person = 0; person < PEOPLE; person++) {
        if (dice.chance(hands[2])) {
          clapAlong(samples, dice, hands[0] - startSecond, hands[1] - startSecond);
        }
      }
    }
    return new Stem(Math.round(startSecond * RATE), samples);
  }

  /** Noise that falls by about 6 dB an octave above 300 Hz and swells slowly. */
  private static void addRustle(float[] samples, Dice dice) {
    double corner = 1 - Math.exp(-2 * Math.PI * 300 / RATE);
    double dull = 0;
    double swell = 1;
    double goal = 1;
    double scale = RUSTLE_RMS / Math.sqrt(corner / (2 - corner));
    for (int i = 0; i < samples.length; i++) {
      if (i % 24000 == 0) {
        goal = dice.between(0.6, 1.5);
      }
      swell += 0.00003 * (goal - swell);
      dull += corner * (dice.noise() - dull);
      samples[i] += (float) (scale * swell * dull);
    }
  }

  private static void clapAlong(float[] samples, Dice dice, double startSecond, double endSecond) {
    double gap = dice.between(0.19, 0.34);
    double middleHz = dice.between(900, 2800);
    double strength = dice.between(0.06, 0.2);
    double second = startSecond + dice.between(0, 1.1);
    double stop = endSecond - dice.between(0, 1.8);
    while (second < stop) {
      clap(samples, dice, (int) (second * RATE), middleHz, strength * dice.between(0.7, 1.2));
      second += gap * dice.between(0.88, 1.12);
    }
  }

  private static void clap(
      float[] samples, Dice dice, int fromFrame, double middleHz, double strength) {
    BandNoise noise = new BandNoise(dice, middleHz, 0.8 * middleHz);
    double decay = Math.exp(-1 / (0.0035 * RATE));
    double level = 3 * strength;
    int end = Math.min(fromFrame + CLAP_FRAMES, samples.length);
    for (int at = Math.max(0, fromFrame); at < end; at++) {
      samples[at] += (float) noise.next(level);
      level *= decay;
    }
  }
}
