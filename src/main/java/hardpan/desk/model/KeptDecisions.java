package hardpan.desk.model;

import hardpan.shoot.Wishes;
import org.jspecify.annotations.Nullable;

/**
 * Has decisions kept one after the other, on whatever thread, so that the last one stays. Safe for
 * several threads.
 */
final class KeptDecisions {
  private final ShootWork.Session session;
  private @Nullable Wishes latest;
  private boolean awaited;
  private boolean closed;

  KeptDecisions(ShootWork.Session session) {
    this.session = session;
  }

  /**
   * What is to be kept; cheap.
   *
   * @return whether {@link #keep} has to be called; false if it is going to be anyway
   */
  synchronized boolean decide(Wishes wishes) {
    latest = wishes;
    boolean call = !awaited;
    awaited = true;
    return call;
  }

  /** Keeps the latest, if it is not kept yet; may wait for the disk. */
  void keep() {
    synchronized (session) {
      Wishes next = take();
      if (next != null && !closed) {
        session.keep(next);
      }
    }
  }

  private synchronized @Nullable Wishes take() {
    Wishes next = latest;
    latest = null;
    awaited = false;
    return next;
  }

  /** Keeps the latest and ends the work on the shoot. Calling it twice does no harm. */
  void close() {
    keep();
    synchronized (session) {
      if (!closed) {
        closed = true;
        session.close();
      }
    }
  }
}
