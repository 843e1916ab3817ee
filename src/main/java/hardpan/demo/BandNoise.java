package hardpan.demo;

/**
 * Noise in one band, whose middle and width may move while it runs: a two-pole state-variable
 * band-pass in the trapezoidal form, stable at any setting (V. Zavalishin, "The Art of VA Filter
 * Design", chapter on state-variable filters; from memory).
 */
final class BandNoise {
  private static final double HIGHEST_HZ = 15000;

  private final Dice dice;
  private double g;
  private double damping;
  private double divisor;
  private double first;
  private double second;

  BandNoise(Dice dice, double middleHz, double widthHz) {
    this.dice = dice;
    tune(middleHz, widthHz);
  }

  void tune(double middleHz, double widthHz) {
    g = Math.tan(Math.PI * Math.min(middleHz, HIGHEST_HZ) / Stage.RATE_HZ);
    damping = widthHz / middleHz;
    divisor = 1 / (1 + g * (g + damping));
  }

  /** The next sample; at the band's middle the noise passes with gain 1. */
  double next(double level) {
    double band = (first + g * (level * dice.noise() - second)) * divisor;
    double low = second + g * band;
    first = 2 * band - first;
    second = 2 * low - second;
    return damping * band;
  }
}
