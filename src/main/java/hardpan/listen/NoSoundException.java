package hardpan.listen;

import org.jspecify.annotations.Nullable;

/** Nothing can be heard on this machine. The message is one sentence that can be shown. */
public final class NoSoundException extends Exception {
  private static final long serialVersionUID = 1L;

  /** With the sentence to show and what is behind it. */
  public NoSoundException(String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
  }

  /** The sentence to show; never null. */
  public String sentence() {
    String message = getMessage();
    return message == null ? "" : message;
  }
}
