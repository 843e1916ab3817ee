package hardpan.base;

import java.io.IOException;
import org.jspecify.annotations.Nullable;

/**
 * A source could not be read. There are exactly three kinds, because each asks something else of
 * the practitioner: a damaged file, a legal file that Hardpan does not read yet, and a disk or
 * permission problem.
 *
 * <p>The message is one sentence that can be shown as it is.
 */
public abstract sealed class MediaException extends IOException
    permits MalformedMediaException, UnsupportedMediaException, MediaAccessException {
  private static final long serialVersionUID = 1L;

  MediaException(String message, @Nullable Throwable cause) {
    super(message, cause);
  }

  /**
   * The word the report uses for this kind: {@code malformed}, {@code unsupported} or {@code io}.
   */
  public abstract String code();

  /** The sentence to show; never null. */
  public final String sentence() {
    String message = getMessage();
    return message == null ? code() : message;
  }
}
