package hardpan.report;

import java.util.List;

/**
 * What is drawn of a source: its waveform, already reduced to columns of equal length over the
 * whole source, and how well the windows of its placement lie on a line.
 *
 * @param minima one array a channel: the lowest sample of each column, full scale being 1
 * @param maxima one array a channel: the highest sample of each column; as long as its partner
 * @param residuals the windows of its placement; empty if it has none
 */
public record SourcePicture(List<float[]> minima, List<float[]> maxima, List<Residual> residuals) {
  /**
   * One window.
   *
   * @param seconds its middle in the source
   * @param milliseconds how much later than the line says it lies on the reference
   * @param counted whether it counts for the placement
   */
  public record Residual(double seconds, double milliseconds, boolean counted) {}

  /** Without a placement. */
  public SourcePicture(List<float[]> minima, List<float[]> maxima) {
    this(minima, maxima, List.of());
  }

  /** Checks that both have the same shape. The arrays are not copied; do not change them. */
  public SourcePicture {
    minima = List.copyOf(minima);
    maxima = List.copyOf(maxima);
    residuals = List.copyOf(residuals);
    if (minima.size() != maxima.size()) {
      throw new IllegalArgumentException("minima and maxima of different channel counts");
    }
    for (int channel = 0; channel < minima.size(); channel++) {
      if (minima.get(channel).length != maxima.get(channel).length) {
        throw new IllegalArgumentException("minima and maxima of different lengths");
      }
    }
  }

  /** Number of channels. */
  public int channelCount() {
    return minima.size();
  }
}
