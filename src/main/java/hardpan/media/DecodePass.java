package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import java.util.List;

/** Reads a source once from its first frame to its last and feeds every listener on the way. */
public final class DecodePass {
  /** Frames a block; a sixth of a second at 48 kHz. */
  public static final int BLOCK_FRAMES = 8192;

  private DecodePass() {}

  /**
   * Runs the pass. Memory does not grow with the length of the source.
   *
   * @param reader read from frame 0; not closed
   * @param listeners called in the given order for each block, on the calling thread
   * @param monitor told about progress where the length is known; asked before each block
   * @return frames read
   * @throws MediaException if the source cannot be read on
   * @throws java.util.concurrent.CancellationException if the monitor says so
   */
  public static long run(SourceReader reader, List<BlockListener> listeners, Monitor monitor)
      throws MediaException {
    SourceFacts facts = reader.facts();
    float[][] block = new float[facts.channelCount()][BLOCK_FRAMES];
    Long expected = facts.frameCount();
    long position = 0;
    int count = BLOCK_FRAMES;
    while (count == BLOCK_FRAMES) {
      monitor.checkCancelled();
      count = reader.readAt(position, block, BLOCK_FRAMES);
      if (count > 0) {
        for (BlockListener listener : listeners) {
          listener.onBlock(position, block, count);
        }
        position += count;
        if (expected != null && expected > 0) {
          monitor.progress("reading sound", Math.min(1.0, (double) position / expected));
        }
      }
    }
    return position;
  }
}
