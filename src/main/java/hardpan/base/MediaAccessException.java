package hardpan.base;

import org.jspecify.annotations.Nullable;

/** The file could not be opened or read: missing, no permission, disk or network failure. */
public final class MediaAccessException extends MediaException {
  private static final long serialVersionUID = 1L;

  /** With a sentence the practitioner can act on. */
  public MediaAccessException(String sentence) {
    this(sentence, null);
  }

  /** With a sentence and the low-level failure behind it. */
  public MediaAccessException(String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
  }

  @Override
  public String code() {
    return "io";
  }
}
