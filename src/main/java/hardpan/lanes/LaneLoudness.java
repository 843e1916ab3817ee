package hardpan.lanes;

import hardpan.signal.LoudnessMeter;
import hardpan.signal.TruePeakMeter;
import hardpan.wave.BextLoudness;
import org.jspecify.annotations.Nullable;

/**
 * Measures the loudness of a lane as it is written, for its {@code bext} chunk (EBU Tech 3285 s3;
 * ITU-R BS.1770, EBU Tech 3341 and 3342). Rounding to the file's word length is not looked at: at
 * 16 bits it changes no loudness above -70 LUFS by a hundredth.
 */
final class LaneLoudness {
  private static final float FULL_SCALE = 0x1p31f;

  private final @Nullable LoudnessMeter loudness;
  private final TruePeakMeter truePeak;
  private final boolean clamps;
  private float[] block = new float[0];

  /**
   * For one lane.
   *
   * @param format of its file; a rate outside the meter's leaves everything but the true peak
   *     unknown
   * @param alone whether it has the file to itself; the loudness of separate microphones side by
   *     side is no loudness of anything, only their true peak is measured
   */
  LaneLoudness(Lane.Format format, boolean alone) {
    int rateHz = format.rateHz();
    boolean measurable =
        alone && rateHz >= LoudnessMeter.LOWEST_RATE_HZ && rateHz <= LoudnessMeter.HIGHEST_RATE_HZ;
    this.loudness = measurable ? LoudnessMeter.mono(rateHz) : null;
    this.truePeak = new TruePeakMeter(rateHz);
    this.clamps = !format.isFloat();
  }

  /** Takes whole numbers, left-justified. */
  void add(int[] leftJustified, int count) {
    float[] sound = room(count);
    for (int i = 0; i < count; i++) {
      sound[i] = leftJustified[i] / FULL_SCALE;
    }
    measure(sound, count);
  }

  /** Takes floats; a whole-number file holds them at full scale. */
  void add(float[] samples, int count) {
    if (!clamps) {
      measure(samples, count);
      return;
    }
    float[] sound = room(count);
    for (int i = 0; i < count; i++) {
      sound[i] = Math.max(-1, Math.min(1, samples[i]));
    }
    measure(sound, count);
  }

  private float[] room(int count) {
    if (block.length < count) {
      block = new float[count];
    }
    return block;
  }

  private void measure(float[] sound, int count) {
    truePeak.add(sound, 0, count);
    if (loudness != null) {
      loudness.add(sound, 0, count);
    }
  }

  /** What was measured so far; null where there is nothing to state. */
  BextLoudness result() {
    return loudness == null
        ? new BextLoudness(null, null, truePeak.truePeakDbtp(), null, null)
        : new BextLoudness(
            loudness.integratedLufs(),
            loudness.loudnessRangeLu(),
            truePeak.truePeakDbtp(),
            loudness.maxMomentaryLufs(),
            loudness.maxShortTermLufs());
  }
}
