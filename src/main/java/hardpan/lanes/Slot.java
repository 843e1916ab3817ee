package hardpan.lanes;

/**
 * Where a lane's sound lies in its file.
 *
 * @param channel the file's channel, from 0
 * @param startFrame first frame in the file
 * @param frameLimit most frames that are taken of the lane; the rest is left out
 */
public record Slot(int channel, long startFrame, long frameLimit) {
  /** A file of its own, from its first frame to its last. */
  public static final Slot WHOLE = new Slot(0, 0, Long.MAX_VALUE);

  /** Checks the ranges. */
  public Slot {
    if (channel < 0 || startFrame < 0 || frameLimit < 0) {
      throw new IllegalArgumentException(channel + ", " + startFrame + ", " + frameLimit);
    }
  }
}
