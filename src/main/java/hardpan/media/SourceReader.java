package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Reads one source by frame position. Frame 0 is the first frame a player would play, after edit
 * lists and encoder delay are taken away.
 *
 * <p>Not safe for use by several threads at once. Reading forward is cheap, skipping ahead may cost
 * the decoding of what is skipped, going back may cost a fresh start of the file.
 */
public interface SourceReader extends AutoCloseable {
  /** What the source says of itself. */
  SourceFacts facts();

  /**
   * Reads a block as floats, full scale being 1.0; values beyond it are kept as they are.
   *
   * @param startFrame first wanted frame, at least 0; beyond the end is allowed and yields 0
   * @param planar one array a channel, each at least {@code frameCount} long
   * @param frameCount how many frames are wanted, at least 1
   * @return frames delivered; fewer than wanted only at the end of the source
   * @throws MediaException if the source cannot be read on
   */
  int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException;

  /**
   * Reads a block as whole numbers, left-justified in 32 bits (a 16-bit sample s comes as s
   * &lt;&lt; 16), so that nothing is lost.
   *
   * @throws UnsupportedOperationException if {@link SourceFacts#sampleForm} is not {@code INTEGER}
   * @throws MediaException if the source cannot be read on
   * @see #readAt
   */
  int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException;

  /**
   * Frames delivered as silence so far because the sound there is missing or does not decode.
   * Counted while reading, so that a whole pass gives the whole figure; 0 for a sound source.
   */
  default long concealedFrames() {
    return 0;
  }

  /**
   * Where those frames lie, in order, as far as reading has come; empty for a sound source. The
   * list may end before the count does where a file is damaged in more than ten thousand places.
   */
  default List<Span> missingSpans() {
    return List.of();
  }

  /**
   * When the picture's first frame is shown, in frames of sound counted as everywhere here: a
   * negative number where the picture begins before the sound does; null without a picture or where
   * the file does not tell.
   */
  default @Nullable Long pictureStartFrame() {
    return null;
  }

  /** What is not as the file's format says, one sentence each; empty for a clean file. */
  default List<String> oddities() {
    return List.of();
  }

  @Override
  void close();
}
