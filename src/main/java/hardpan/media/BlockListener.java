package hardpan.media;

/** What a single decode pass feeds. Called on one thread, in order, without gaps. */
public interface BlockListener {
  /**
   * One block of sound. The arrays are reused: copy what must last.
   *
   * @param startFrame position of the block's first frame
   * @param planar one array a channel
   * @param frameCount frames that count in each array
   */
  void onBlock(long startFrame, float[][] planar, int frameCount);
}
