package hardpan.demo;

/**
 * What arrives at the sockets of a device, on the event's own time line at 48 kHz, before the
 * device's clock and electronics. Any stretch can be read at any time; several threads may read.
 */
interface Feed {
  /** Signals side by side. */
  int channelCount();

  /**
   * Reads a stretch.
   *
   * @param fromFrame first event frame; may be negative; silence outside the event
   * @param planar one array a channel, overwritten
   * @param frames how many, at most {@link PairConvolver#MAX_FRAMES}
   */
  void read(long fromFrame, float[][] planar, int frames);
}
