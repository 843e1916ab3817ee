package hardpan.bench;

import java.util.Arrays;

/**
 * The sound that is written into every format: four short sweeps ("clicks") on the first channel at
 * known frames, a steady tone on the last. Everything lies on the grid of 16 bits, or of 8 where a
 * format has no more.
 */
final class FormatSound {
  private static final double SECONDS = 3.3;
  private static final double TONE_AMPLITUDE = 0.125;

  /** Where the sweeps begin; irregular, so that no other lag fits them all. */
  private static final double[] SWEEP_SECONDS = {0.411, 0.937, 1.753, 2.611};

  private static final double SWEEP_LENGTH_SECONDS = 0.012;

  private final int rateHz;
  private final float[][] planar;

  /**
   * Makes the sound.
   *
   * @param channels 1 or 2; a single channel has both the sweeps and, between them, the tone
   * @param bits 8 or 16
   */
  FormatSound(int rateHz, int channels, int bits) {
    this.rateHz = rateHz;
    int frames = (int) (SECONDS * rateHz) + 7;
    planar = new float[channels][frames];
    float[] tone = planar[channels - 1];
    for (int i = 0; i < frames; i++) {
      tone[i] = (float) (TONE_AMPLITUDE * Math.sin(2 * Math.PI * 997 * i / rateHz));
    }
    for (double start : SWEEP_SECONDS) {
      sweep(planar[0], (int) Math.round(start * rateHz));
    }
    double scale = Math.scalb(1.0, bits - 1);
    for (float[] channel : planar) {
      for (int i = 0; i < frames; i++) {
        channel[i] = (float) (Math.rint(channel[i] * scale) / scale) + 0f;
      }
    }
  }

  private void sweep(float[] channel, int start) {
    int length = sweepFrames();
    double lowHz = 300;
    double highHz = Math.min(7000, 0.38 * rateHz);
    for (int i = 0; i < length; i++) {
      double t = (double) i / length;
      double seconds = t * SWEEP_LENGTH_SECONDS;
      double phase = 2 * Math.PI * (lowHz + (highHz - lowHz) * t / 2) * seconds;
      channel[start + i] = (float) (0.5 * Math.sin(Math.PI * t) * Math.sin(phase));
    }
  }

  private int sweepFrames() {
    return (int) Math.round(SWEEP_LENGTH_SECONDS * rateHz);
  }

  float[][] planar() {
    return planar;
  }

  int frames() {
    return planar[0].length;
  }

  /** Whether another sound begins with this one, sample by sample. */
  boolean same(float[][] other) {
    if (other.length != planar.length || other[0].length < frames()) {
      return false;
    }
    for (int c = 0; c < planar.length; c++) {
      if (!Arrays.equals(planar[c], 0, frames(), other[c], 0, frames())) {
        return false;
      }
    }
    return true;
  }

  /**
   * How many frames later than written the sweeps are, by cross-correlation within a sixth of a
   * second.
   *
   * @return the lag all four sweeps agree on to one frame, their mean to the nearest frame; {@link
   *     Integer#MIN_VALUE} if they do not agree
   */
  int lag(float[][] read) {
    int least = Integer.MAX_VALUE;
    int most = Integer.MIN_VALUE;
    int sum = 0;
    for (double start : SWEEP_SECONDS) {
      int lag = lagAt((int) Math.round(start * rateHz), read[0]);
      least = Math.min(least, lag);
      most = Math.max(most, lag);
      sum += lag;
    }
    return most - least > 1 ? Integer.MIN_VALUE : Math.round((float) sum / SWEEP_SECONDS.length);
  }

  private int lagAt(int start, float[] read) {
    int reach = rateHz / 6;
    double best = Double.NEGATIVE_INFINITY;
    int bestLag = 0;
    for (int lag = -reach; lag <= reach; lag++) {
      double sum = 0;
      for (int i = 0; i < sweepFrames(); i++) {
        int at = start + i + lag;
        sum += at >= 0 && at < read.length ? planar[0][start + i] * read[at] : 0;
      }
      if (sum > best) {
        best = sum;
        bestLag = lag;
      }
    }
    return bestLag;
  }

  /** How much louder than written the tone is, in decibels, between the second and third sweep. */
  double levelErrorDb(float[][] read, int lag) {
    int from = (int) (1.1 * rateHz);
    int to = (int) (1.6 * rateHz);
    double written = 0;
    double got = 0;
    float[] before = planar[planar.length - 1];
    float[] after = read[read.length - 1];
    for (int i = from; i < to; i++) {
      written += (double) before[i] * before[i];
      int at = i + lag;
      got += at >= 0 && at < after.length ? (double) after[at] * after[at] : 0;
    }
    return 10 * Math.log10(got / written);
  }
}
