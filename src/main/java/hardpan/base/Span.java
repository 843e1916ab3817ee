package hardpan.base;

/**
 * A stretch of a source, in frames of that source.
 *
 * @param startFrame first frame, inclusive, at least 0
 * @param endFrame end, exclusive, at least {@code startFrame}
 */
public record Span(long startFrame, long endFrame) {
  /** Checks the order of the two ends. */
  public Span {
    if (startFrame < 0 || endFrame < startFrame) {
      throw new IllegalArgumentException("bad span " + startFrame + ".." + endFrame);
    }
  }

  /** Length in frames. */
  public long frames() {
    return endFrame - startFrame;
  }
}
