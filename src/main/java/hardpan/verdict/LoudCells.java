package hardpan.verdict;

import java.util.Arrays;

/**
 * The largest value of one half of the wave in each short cell of a channel, two bytes a cell on a
 * logarithmic scale, for finding where sound that a lossy codec has blurred reaches its ceiling.
 *
 * <p>Cells are 5 ms until the sound is longer than about three hours; then neighbouring cells are
 * merged, so that memory stays below 4 MiB.
 */
final class LoudCells {
  private static final int MOST_CELLS = 1 << 21;
  private static final double LOWEST_DB = -57;
  private static final double CODES_A_DB = 400;
  private static final int MOST_CODE = Short.MAX_VALUE;

  private final int sign;
  private int cellFrames;
  private int fill;
  private float largest;
  private int count;
  private short[] cells = new short[1024];

  /**
   * For one half of the wave.
   *
   * @param sign 1 for the positive half, -1 for the negative
   */
  LoudCells(int rateHz, int sign) {
    this.sign = sign;
    this.cellFrames = Math.max(1, rateHz / 200);
  }

  void add(float[] samples, int frameCount) {
    for (int i = 0; i < frameCount; ) {
      int end = Math.min(frameCount, i + cellFrames - fill);
      fill += end - i;
      float most = largest;
      for (; i < end; i++) {
        float size = sign * samples[i];
        if (size > most && size <= Float.MAX_VALUE) {
          most = size;
        }
      }
      largest = most;
      if (fill == cellFrames) {
        close();
      }
    }
  }

  private void close() {
    if (count == MOST_CELLS) {
      for (int i = 0; i < count / 2; i++) {
        cells[i] = (short) Math.max(cells[2 * i], cells[2 * i + 1]);
      }
      count /= 2;
      cellFrames *= 2;
    } else {
      if (count == cells.length) {
        cells = Arrays.copyOf(cells, count * 2);
      }
      cells[count++] = code(largest);
      largest = 0;
      fill = 0;
    }
  }

  private static short code(float size) {
    double db = 20 * Math.log10(Math.max(size, 1e-9));
    return (short) Math.max(0, Math.min(MOST_CODE, Math.round((db - LOWEST_DB) * CODES_A_DB)));
  }

  /** Number of finished cells. */
  int count() {
    return count;
  }

  /** Frames in a cell. */
  int cellFrames() {
    return cellFrames;
  }

  /** Whether a cell's largest value is at or above a level. */
  boolean reaches(int cell, double dbfs) {
    return cells[cell] >= (dbfs - LOWEST_DB) * CODES_A_DB - 1;
  }
}
