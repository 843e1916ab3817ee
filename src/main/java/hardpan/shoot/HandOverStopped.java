package hardpan.shoot;

import java.util.concurrent.CancellationException;

/** A cancelled hand-over of which finished lanes are kept, so that it can go on later. */
public final class HandOverStopped extends CancellationException {
  private static final long serialVersionUID = 1;

  HandOverStopped(String whatIsKept, CancellationException cause) {
    super(whatIsKept);
    initCause(cause);
  }

  /** What is kept where, one sentence. */
  public String whatIsKept() {
    return String.valueOf(getMessage());
  }
}
