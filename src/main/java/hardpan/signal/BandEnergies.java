package hardpan.signal;

/**
 * The sound's shape in time and frequency, small enough to compare hours: the level in 16 bands a
 * hundred times a second, in steps of half a decibel.
 *
 * <p>Bands are geometric from 156 Hz to 7 kHz at every sample rate; what a low rate cannot carry
 * (above 45 % of it) reads as silence there. A frame is a Hann-windowed transform of 16 to 24 ms
 * whose middle lies at a multiple of 10 ms, so that maps of sources with different sample rates can
 * be compared. Values reach from -124 to +3.5 dB; silence reads as the lowest.
 *
 * <p>Feed blocks of any length with {@link #add}, then call {@link #finish} once.
 */
public final class BandEnergies {
  /** Bands in a frame. */
  public static final int BANDS = 16;

  /** Frames a second. */
  public static final int FRAMES_PER_SECOND = 100;

  /** Decibels in one step of a value. */
  public static final double STEP_DB = 0.5;

  private static final double LOWEST_HZ = 156;
  private static final double HIGHEST_HZ = 7000;

  /** Share of the sample rate up to which a source can be expected to carry sound. */
  private static final double CARRIED = 0.45;

  private static final double CENTRE_DB = -60;

  private final int rateHz;
  private final Sink sink;
  private final int size;
  private final float[] window;
  private final int[] firstBinOfBand = new int[BANDS + 1];
  private final float[] history;
  private final float[] work;
  private final byte[] frame = new byte[BANDS];

  /** Samples received; the ring starts with half a window of silence before the first. */
  private long received;

  private long nextFrame;

  /** Takes one frame of values at a time, in order. */
  @FunctionalInterface
  public interface Sink {
    /**
     * One frame.
     *
     * @param values {@link #BANDS} values, reused by the caller
     */
    void frame(byte[] values);
  }

  /**
   * For one channel.
   *
   * @param rateHz sample rate, at least 1000
   * @param sink receives the frames
   */
  public BandEnergies(int rateHz, Sink sink) {
    if (rateHz < 1000) {
      throw new IllegalArgumentException("rate " + rateHz);
    }
    this.rateHz = rateHz;
    this.sink = sink;
    this.size = Fft.sizeFor(Math.max(64, Math.round(rateHz * 0.016)));
    this.window = Windows.hann(size);
    this.history = new float[2 * size];
    this.work = new float[size];
    for (int band = 0; band <= BANDS; band++) {
      double hz = LOWEST_HZ * Math.pow(HIGHEST_HZ / LOWEST_HZ, band / (double) BANDS);
      firstBinOfBand[band] = (int) Math.round(hz * size / rateHz);
      if (band > 0) {
        firstBinOfBand[band] = Math.max(firstBinOfBand[band], firstBinOfBand[band - 1] + 1);
      }
    }
  }

  /**
   * The level in decibels that a value stands for (0 dB: a band that holds full-scale sine power).
   */
  public static double decibels(byte value) {
    return CENTRE_DB + value * STEP_DB;
  }

  /** Adds sound. NaN and infinite samples count as silence. */
  public void add(float[] samples, int from, int count) {
    int at = from;
    int left = count;
    while (left > 0) {
      long needed = middleOf(nextFrame) + size / 2 - received;
      if (needed <= 0) {
        emit();
        continue;
      }
      int take = (int) Math.min(left, needed);
      int slot = (int) (received % size);
      take = Math.min(take, size - slot);
      for (int i = 0; i < take; i++) {
        float x = samples[at + i];
        float clean = Math.abs(x) <= Float.MAX_VALUE ? x : 0;
        history[slot + i] = clean;
        history[slot + i + size] = clean;
      }
      received += take;
      at += take;
      left -= take;
    }
  }

  /** Ends the sound: emits the frames whose middle lies inside it. */
  public void finish() {
    long end = received;
    float[] silence = new float[size];
    while (middleOf(nextFrame) < end) {
      long needed = middleOf(nextFrame) + size / 2 - received;
      if (needed > 0) {
        add(silence, 0, (int) Math.min(needed, silence.length));
      } else {
        emit();
      }
    }
  }

  private long middleOf(long frameIndex) {
    return frameIndex * rateHz / FRAMES_PER_SECOND;
  }

  private void emit() {
    int start = (int) (received % size);
    // Two copies of the ring stand end to end, so the last window is one straight stretch.
    System.arraycopy(history, start, work, 0, size);
    for (int i = 0; i < size; i++) {
      work[i] *= window[i];
    }
    Fft.ofSize(size).forward(work);
    // A full-scale sine in a Hann window has bin power (n/4)^2 spread over about 1.5 bins.
    double scale = 16.0 / ((double) size * size * 1.5);
    for (int band = 0; band < BANDS; band++) {
      double power = 0;
      int to = Math.min(firstBinOfBand[band + 1], (int) (CARRIED * size));
      for (int bin = Math.max(1, firstBinOfBand[band]); bin < to; bin++) {
        power +=
            (double) work[2 * bin] * work[2 * bin] + (double) work[2 * bin + 1] * work[2 * bin + 1];
      }
      double db = Math.max(Decibels.ofPower(power * scale), -140);
      frame[band] = (byte) Math.max(-128, Math.min(127, Math.round((db - CENTRE_DB) / STEP_DB)));
    }
    sink.frame(frame);
    nextFrame++;
  }
}
