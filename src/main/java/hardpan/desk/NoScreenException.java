package hardpan.desk;

import org.jspecify.annotations.Nullable;

/** There is no screen to open a window on. The message is one sentence that can be shown. */
public final class NoScreenException extends Exception {
  private static final long serialVersionUID = 1L;

  NoScreenException(String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
  }

  /** The sentence to show; never null. */
  public String sentence() {
    String message = getMessage();
    return message == null ? "" : message;
  }
}
