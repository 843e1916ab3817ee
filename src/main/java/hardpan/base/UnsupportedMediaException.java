package hardpan.base;

import org.jspecify.annotations.Nullable;

/** The file is legal, but uses a feature that Hardpan does not read. */
public final class UnsupportedMediaException extends MediaException {
  private static final long serialVersionUID = 1L;

  /** With a sentence the practitioner can act on. */
  public UnsupportedMediaException(String sentence) {
    this(sentence, null);
  }

  /** With a sentence and the low-level failure behind it. */
  public UnsupportedMediaException(String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
  }

  @Override
  public String code() {
    return "unsupported";
  }
}
