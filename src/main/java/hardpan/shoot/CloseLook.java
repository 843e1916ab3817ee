package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.BlockListener;
import hardpan.media.DecodePass;
import hardpan.media.SourceFacts;
import hardpan.media.SourceReader;
import hardpan.signal.PowerSpectrum;
import java.util.ArrayList;
import java.util.List;

/**
 * What one source looks like closely: how often which level occurs, left against right, and the
 * spectrum of each channel. Measured on demand and not kept with the shoot.
 *
 * <p>Levels are counted on a scale of square roots, {@code sign(x) sqrt(|x|)}, on which quiet sound
 * has room and a straight line through zero stays one.
 *
 * @param rateHz sample rate
 * @param channels one a channel
 * @param pair how often left and right have which levels at once, {@link #PAIR_CELLS} rows of as
 *     many cells, row and column rising with right and left; empty unless there are two channels
 */
public record CloseLook(int rateHz, List<Channel> channels, List<int[]> pair) {
  /** Cells of the level counts, from -{@link #LARGEST_ROOT} to it. */
  public static final int LEVEL_CELLS = 256;

  /** Cells on each side of the pair counts, over the same range. */
  public static final int PAIR_CELLS = 96;

  /** Root of the largest level that has its own cell: 2.5 dB over full scale. */
  public static final double LARGEST_ROOT = 1.155;

  /** 48 kHz divided by this is 3 Hz, enough to part mains hum from its neighbours. */
  private static final int SPECTRUM_SIZE = 1 << 14;

  private static final int MOST_WINDOWS = 1500;

  /** Copies the lists; the arrays are not copied. */
  public CloseLook {
    channels = List.copyOf(channels);
    pair = List.copyOf(pair);
  }

  /**
   * One channel.
   *
   * @param counts samples in each of {@link #LEVEL_CELLS}, lowest level first; levels beyond the
   *     range are in the outermost
   * @param frameCount samples in all
   * @param spectrumDb level by frequency, bin k at k x {@code hzPerBin}, 0 dB being a full-scale
   *     sine; empty for less than a third of a second
   * @param hzPerBin distance of the bins
   */
  public record Channel(long[] counts, long frameCount, double[] spectrumDb, double hzPerBin) {}

  /** Which cell of so many a sample falls into; NaN counts as 0. */
  static int cell(float sample, int cells) {
    double root = Math.sqrt(Math.abs((double) sample));
    double signed = sample < 0 ? -root : root;
    double place = (signed / LARGEST_ROOT + 1) / 2 * cells;
    return (int) Math.max(0, Math.min(cells - 1, Double.isNaN(place) ? cells / 2.0 : place));
  }

  /** The root at the lower edge of a cell. */
  public static double rootOf(int cell, int cells) {
    return (2.0 * cell / cells - 1) * LARGEST_ROOT;
  }

  /**
   * Reads a source once and measures it. Memory does not grow with its length.
   *
   * @throws MediaException if it cannot be read any more
   * @throws java.util.concurrent.CancellationException if the monitor says so
   */
  public static CloseLook of(ShootSource source, Monitor monitor) throws MediaException {
    try (SourceReader reader = SourceSound.opening(source).open()) {
      SourceFacts facts = reader.facts();
      Long expected = facts.frameCount();
      long windows = expected == null ? 0 : expected / SPECTRUM_SIZE;
      int every = (int) Math.max(1, windows / MOST_WINDOWS);
      Measuring measuring = new Measuring(facts.channelCount(), every);
      DecodePass.run(reader, List.of(measuring), monitor);
      return measuring.result(facts.rateHz());
    }
  }

  /** The listener of the pass. */
  private static final class Measuring implements BlockListener {
    private final long[][] counts;
    private final int[][] pair;
    private final List<PowerSpectrum> spectra = new ArrayList<>();
    private long frames;

    Measuring(int channels, int every) {
      counts = new long[channels][LEVEL_CELLS];
      pair = channels == 2 ? new int[PAIR_CELLS][PAIR_CELLS] : new int[0][];
      for (int channel = 0; channel < channels; channel++) {
        spectra.add(new PowerSpectrum(SPECTRUM_SIZE, every));
      }
    }

    @Override
    public void onBlock(long startFrame, float[][] planar, int frameCount) {
      for (int channel = 0; channel < counts.length; channel++) {
        float[] samples = planar[channel];
        for (int i = 0; i < frameCount; i++) {
          counts[channel][cell(samples[i], LEVEL_CELLS)]++;
        }
        spectra.get(channel).add(samples, 0, frameCount);
      }
      if (pair.length > 0) {
        for (int i = 0; i < frameCount; i++) {
          pair[cell(planar[1][i], PAIR_CELLS)][cell(planar[0][i], PAIR_CELLS)]++;
        }
      }
      frames += frameCount;
    }

    CloseLook result(int rateHz) {
      List<Channel> channels = new ArrayList<>();
      for (int channel = 0; channel < counts.length; channel++) {
        channels.add(
            new Channel(
                counts[channel],
                frames,
                spectra.get(channel).levelsDb(),
                (double) rateHz / SPECTRUM_SIZE));
      }
      return new CloseLook(rateHz, channels, List.of(pair));
    }
  }
}
