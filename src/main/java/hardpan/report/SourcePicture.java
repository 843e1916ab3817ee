package hardpan.report;

import java.util.List;

/**
 * A source's waveform, already reduced to columns of equal length over the whole source.
 *
 * @param minima one array a channel: the lowest sample of each column, full scale being 1
 * @param maxima one array a channel: the highest sample of each column; as long as its partner
 */
public record SourcePicture(List<float[]> minima, List<float[]> maxima) {
  /** Checks that both have the same shape. The arrays are not copied; do not change them. */
  public SourcePicture {
    minima = List.copyOf(minima);
    maxima = List.copyOf(maxima);
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
