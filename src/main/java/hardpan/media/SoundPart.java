package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.List;

/** One sound stream of a source: some of its channels, from the stream's own frame 0 on. */
interface SoundPart extends AutoCloseable {
  int channelCount();

  /**
   * Reads floats into some of the arrays of {@code planar}.
   *
   * @param start first wanted frame, at least 0
   * @param firstChannel the array for this part's first channel
   * @param at index of the first wanted frame in the arrays
   * @return frames delivered, fewer than wanted only at the end
   */
  int readFloats(long start, float[][] planar, int firstChannel, int at, int count)
      throws MediaException;

  /**
   * As {@link #readFloats}, as whole numbers left-justified in 32 bits.
   *
   * @throws UnsupportedOperationException if the samples are none
   */
  int readIntegers(long start, int[][] planar, int firstChannel, int at, int count)
      throws MediaException;

  /** Frames delivered as silence because the sound there is missing or does not decode. */
  long concealedFrames();

  /** Where those frames lie, in order, counted in this part's frames. */
  default List<Span> missingSpans() {
    return List.of();
  }

  /** What is not as it should be, one sentence each. */
  default List<String> oddities() {
    return List.of();
  }

  @Override
  void close();
}
