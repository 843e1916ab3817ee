package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.List;

/** A sound track of the fallback reader, addressed by frame of its media, before edits. */
interface JcodecTrack {
  int channelCount();

  /** Length the index declares, in frames. */
  long declaredFrames();

  /** Frames that are really in the file; fewer than declared if it was cut. */
  long availableFrames();

  /**
   * Reads floats; everything wanted is available.
   *
   * @param from first frame of the media
   * @param firstChannel the array for this track's first channel
   * @param at index of the first frame in the arrays
   */
  void readFloats(long from, float[][] planar, int firstChannel, int at, int count)
      throws MediaException;

  /** As {@link #readFloats}, as whole numbers left-justified in 32 bits. */
  void readIntegers(long from, int[][] planar, int firstChannel, int at, int count)
      throws MediaException;

  /** Frames delivered as silence because they do not decode. */
  long concealedFrames();

  /** Where those frames lie in the media, in order. */
  List<Span> missingSpans();
}
