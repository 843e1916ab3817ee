package hardpan.demo;

import org.jspecify.annotations.Nullable;

/**
 * What a device's electronics do to the sound, in the order of a real input: gain, automatic gain,
 * noise of the preamplifier, hard clipping. Keeps state: one for each clip, fed from its start.
 */
final class DeviceChain {
  private static final double AUTOMATIC_TARGET = 0.09;
  private static final double AUTOMATIC_MOST = 4;
  private static final double AUTOMATIC_LEAST = 0.3;

  private final Electronics electronics;
  private final Dice[] dice;
  private final double powerStep;
  private final double downStep;
  private final double upStep;
  private double power;
  private double automaticGain = 1;

  /**
   * A device's settings.
   *
   * @param gains linear factor for each channel; negative inverts
   * @param noiseRms preamplifier noise for each channel, full scale being 1
   * @param ceiling level at which both signs are cut off; null for none
   * @param automatic whether the gain follows the loudness slowly
   */
  @SuppressWarnings("ArrayRecordComponent") // never compared
  record Electronics(
      double[] gains, double[] noiseRms, @Nullable Double ceiling, boolean automatic) {}

  DeviceChain(Electronics electronics, int rateHz, long seed) {
    this.electronics = electronics;
    this.dice = new Dice[electronics.gains().length];
    for (int c = 0; c < dice.length; c++) {
      dice[c] = new Dice(Dice.seedFor(seed, "preamplifier " + c));
    }
    this.powerStep = 1 - Math.exp(-1 / (0.05 * rateHz));
    this.downStep = 1 - Math.exp(-1 / (0.15 * rateHz));
    this.upStep = 1 - Math.exp(-1 / (3.5 * rateHz));
  }

  /** Works on a block in place. */
  void process(float[][] planar, int frames) {
    Double ceiling = electronics.ceiling();
    for (int i = 0; i < frames; i++) {
      double loudest = 0;
      for (int c = 0; c < planar.length; c++) {
        double value = planar[c][i] * electronics.gains()[c];
        loudest = Math.max(loudest, value * value);
        planar[c][i] = (float) value;
      }
      double gain = electronics.automatic() ? follow(loudest) : 1;
      for (int c = 0; c < planar.length; c++) {
        double value = planar[c][i] * gain + electronics.noiseRms()[c] * dice[c].noise();
        if (ceiling != null) {
          value = Math.max(-ceiling, Math.min(ceiling, value));
        }
        planar[c][i] = (float) value;
      }
    }
  }

  private double follow(double squared) {
    power += powerStep * (squared - power);
    double wanted = AUTOMATIC_TARGET / Math.sqrt(power + 1e-12);
    wanted = Math.max(AUTOMATIC_LEAST, Math.min(AUTOMATIC_MOST, wanted));
    automaticGain += (wanted < automaticGain ? downStep : upStep) * (wanted - automaticGain);
    return automaticGain;
  }
}
