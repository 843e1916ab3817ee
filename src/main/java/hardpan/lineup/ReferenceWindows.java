package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.lineup.Proof.Seen;
import hardpan.media.SourceReader;
import hardpan.signal.Decibels;
import hardpan.signal.Peaks;
import hardpan.signal.WhitenedCorrelation;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Correlates windows of a source with the stretch of the reference where they are expected, on all
 * usable channels of the reference.
 */
final class ReferenceWindows {
  private static final double HIGHEST_HZ = 10_000;

  /** A quarter of a megabyte each at 48 kHz. */
  private static final int MOST_KEPT = 40;

  private final SourceReader reader;
  private final List<Integer> channels;
  private final int rateHz;
  private final long frameCount;
  private final double highestHz;
  private final IdentityHashMap<ClipWindows.Window, float[]> kept = new IdentityHashMap<>();
  private final Map<Integer, WhitenedCorrelation> correlations = new HashMap<>();
  private int keptStretch;

  /**
   * For a source on a reference.
   *
   * @param sourceRateHz sample rate of the source; what it cannot carry is left out
   */
  ReferenceWindows(SourceReader reader, Candidate reference, int sourceRateHz) {
    this.highestHz = Math.min(HIGHEST_HZ, 0.45 * sourceRateHz);
    this.reader = reader;
    this.channels = reference.channels();
    this.rateHz = reference.rateHz();
    this.frameCount = reference.frameCount();
  }

  int rateHz() {
    return rateHz;
  }

  double durationSeconds() {
    return (double) frameCount / rateHz;
  }

  /**
   * A correlation.
   *
   * @param firstDelaySeconds reference seconds less source seconds at element 0
   * @param values one value for each reference frame of further delay
   * @param referenceDb level of the reference's channel while the window lasts
   */
  record Correlation(double firstDelaySeconds, float[] values, double referenceDb) {}

  /** The spectrum of a window, kept while the same windows are tried at several places. */
  private float[] spectrum(ClipWindows.Window window, int stretch, WhitenedCorrelation whitened) {
    if (stretch != keptStretch || kept.size() >= MOST_KEPT) {
      kept.clear();
      keptStretch = stretch;
    }
    return kept.computeIfAbsent(window, w -> whitened.spectrum(w.samples()));
  }

  /**
   * Correlates one window.
   *
   * @param window the window, at the reference's rate
   * @param delaySeconds expected delay
   * @param reachSeconds how far to look on either side
   * @param wanted reference channels to look at
   * @return a correlation for each wanted channel, empty if less than the whole window lies inside
   *     the reference
   */
  Map<Integer, Correlation> correlate(
      ClipWindows.Window window, double delaySeconds, double reachSeconds, List<Integer> wanted)
      throws MediaException {
    Map<Integer, Correlation> result = new TreeMap<>();
    int reach = (int) Math.ceil(reachSeconds * rateHz);
    int length = window.samples().length;
    long middle = Math.round((window.startSeconds() + delaySeconds) * rateHz);
    if (middle < 0 || middle + length > frameCount) {
      return result;
    }
    long start = middle - reach;
    int lags = 2 * reach + 1;
    float[][] sound = SoundStretch.read(reader, start, length + lags - 1);
    WhitenedCorrelation whitened =
        correlations.computeIfAbsent(
            length + lags - 1, stretch -> new WhitenedCorrelation(rateHz, stretch, highestHz));
    float[] shorter = spectrum(window, length + lags - 1, whitened);
    double first = (double) start / rateHz - window.startSeconds();
    for (int channel : wanted) {
      if (channels.contains(channel)) {
        float[] longer = whitened.spectrum(sound[channel]);
        float[] values = whitened.correlate(longer, shorter, lags);
        result.put(channel, new Correlation(first, values, levelDb(sound[channel], reach, length)));
      }
    }
    return result;
  }

  /**
   * Correlates one window with one channel.
   *
   * @return null if the window does not lie inside the reference or either sound is silent
   */
  @Nullable Seen seen(
      ClipWindows.Window window, double delaySeconds, double reachSeconds, int channel)
      throws MediaException {
    Correlation correlation =
        correlate(window, delaySeconds, reachSeconds, List.of(channel)).get(channel);
    double unit = correlation == null ? 0 : Peaks.scatter(correlation.values());
    return correlation == null || unit <= 0 ? null : new Seen(window, correlation, unit);
  }

  private static double levelDb(float[] sound, int from, int count) {
    // Four sums at a time, for each addition would wait for the one before.
    double first = 0;
    double second = 0;
    double third = 0;
    double fourth = 0;
    int end = from + count;
    int i = from;
    for (; i + 3 < end; i += 4) {
      first += sound[i] * sound[i];
      second += sound[i + 1] * sound[i + 1];
      third += sound[i + 2] * sound[i + 2];
      fourth += sound[i + 3] * sound[i + 3];
    }
    for (; i < end; i++) {
      first += sound[i] * sound[i];
    }
    return Decibels.ofPower((first + second + third + fourth) / count);
  }
}
