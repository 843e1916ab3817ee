package hardpan.shoot;

/**
 * A piece of a waveform, read from the sound itself.
 *
 * @param framesInColumn frames a column stands for; at 1 smallest and largest are the sample
 * @param firstColumn number of its first column, counted from the start of the source
 * @param minima smallest samples, one array a channel
 * @param maxima largest samples, one array a channel, as long as the others
 */
public record WaveTile(int framesInColumn, long firstColumn, float[][] minima, float[][] maxima) {
  /** Columns of a whole tile; the last one of a source may have fewer. */
  public static final int COLUMNS = 1024;

  /** How many columns it has. */
  public int columnCount() {
    return minima.length == 0 ? 0 : minima[0].length;
  }

  long bytes() {
    return 2L * Float.BYTES * minima.length * columnCount();
  }
}
