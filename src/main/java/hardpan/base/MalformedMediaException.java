package hardpan.base;

import org.jspecify.annotations.Nullable;

/** The bytes contradict the file's own format: damaged, cut short or not media at all. */
public final class MalformedMediaException extends MediaException {
  private static final long serialVersionUID = 1L;

  /** With a sentence the practitioner can act on. */
  public MalformedMediaException(String sentence) {
    this(sentence, null);
  }

  /** With a sentence and the low-level failure behind it. */
  public MalformedMediaException(String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
  }

  @Override
  public String code() {
    return "malformed";
  }
}
