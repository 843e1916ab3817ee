package hardpan.media;

import hardpan.base.MediaException;

/** Opens a source for reading, as often as it is asked to. */
@FunctionalInterface
public interface SourceOpening {
  /**
   * Opens it.
   *
   * @throws MediaException if it cannot be opened any more
   */
  SourceReader open() throws MediaException;
}
