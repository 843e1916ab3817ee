package hardpan.shoot;

import org.jspecify.annotations.Nullable;

/** The whole job cannot be done. The message is one sentence that can be shown as it is. */
public final class ShootException extends Exception {
  private static final long serialVersionUID = 1L;

  private final Reason reason;

  /** With its reason and a sentence. */
  public ShootException(Reason reason, String sentence) {
    this(reason, sentence, null);
  }

  /** With its reason, a sentence and the failure behind it. */
  public ShootException(Reason reason, String sentence, @Nullable Throwable cause) {
    super(sentence, cause);
    this.reason = reason;
  }

  /** Why. */
  public Reason reason() {
    return reason;
  }

  /** The sentence to show; never null. */
  public String sentence() {
    String message = getMessage();
    return message == null ? "" : message;
  }

  /** What kind of obstacle it is. */
  public enum Reason {
    /** What was asked for makes no sense: a reference that is not there, a target that exists. */
    REQUEST,
    /** Nothing could be done: no media, nothing readable, the target cannot be written. */
    NOTHING_DONE
  }
}
