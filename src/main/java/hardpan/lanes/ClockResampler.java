package hardpan.lanes;

import hardpan.signal.SincInterpolator;
import java.util.Arrays;

/**
 * Resamples a stream along a clock near the ratio of two sample rates: output sample n is the input
 * where {@link SourcePositions} says, {@code first + n x step} if the clock is straight. What lies
 * before and after the input is silence.
 */
public final class ClockResampler {
  private final SourcePositions positions;
  private final SincInterpolator between;

  /** Input kept: from {@link #keptFrom}, {@link #keptCount} samples. */
  private float[] kept;

  private long keptFrom;
  private int keptCount;
  private long produced;

  /**
   * A resampler along a straight clock.
   *
   * @param step input samples for one output sample, above 0
   * @param first input position of output sample 0, at least -1
   */
  public ClockResampler(double step, double first) {
    this(SourcePositions.straight(step, first));
  }

  /**
   * A resampler.
   *
   * @param positions where output samples lie in the input; not to be used elsewhere
   */
  public ClockResampler(SourcePositions positions) {
    this.positions = positions;
    double step = positions.largestStep();
    // A few hundred ppm need no filter of their own; a lower output rate does.
    this.between =
        step > 1.001 ? SincInterpolator.withCutoff(0.98 / step) : SincInterpolator.fullBand();
    this.kept = new float[1 << 15];
  }

  /** Takes input and gives the output that is complete with it. */
  public float[] add(float[] samples, int count) {
    dropUsed();
    if (keptCount + count > kept.length) {
      kept = Arrays.copyOf(kept, Math.max(2 * kept.length, keptCount + count));
    }
    System.arraycopy(samples, 0, kept, keptCount, count);
    keptCount += count;
    return produceBelow(keptFrom + keptCount - between.halfTaps());
  }

  /** Gives the rest of the output. */
  public float[] finish() {
    return produceBelow(keptFrom + keptCount);
  }

  private long indexOf(long output) {
    positions.goTo(output);
    return positions.index();
  }

  private void dropUsed() {
    long needed = indexOf(produced) - between.halfTaps();
    int drop = (int) Math.max(0, Math.min(keptCount, needed - keptFrom));
    System.arraycopy(kept, drop, kept, 0, keptCount - drop);
    keptFrom += drop;
    keptCount -= drop;
  }

  private float[] produceBelow(long endPosition) {
    Arrays.fill(kept, keptCount, kept.length, 0);
    int count = 0;
    while (indexOf(produced + count) < endPosition) {
      count++;
    }
    float[] out = new float[count];
    for (int i = 0; i < count; i++) {
      positions.goTo(produced + i);
      out[i] = (float) between.at(kept, positions.index() - keptFrom, positions.fraction());
    }
    produced += count;
    return out;
  }
}
