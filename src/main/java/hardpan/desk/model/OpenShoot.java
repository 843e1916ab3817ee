package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * The shoot that the window works on, and for which decisions its line-up was made. What is not
 * said to run on another thread belongs to the window's.
 */
final class OpenShoot {
  private final List<Path> given;
  private final List<Path> roots;
  private final ShootWork.Session session;
  private final KeptDecisions decisions;
  private volatile boolean closed;

  private @Nullable Wishes solvedFor;
  private @Nullable Wishes tried;
  private boolean trying;
  private boolean outdated;

  private OpenShoot(List<Path> given, ShootWork.Session session) {
    this.given = List.copyOf(given);
    this.roots = List.copyOf(session.roots(given));
    this.session = session;
    this.decisions = new KeptDecisions(session);
  }

  /**
   * A shoot that can be shown.
   *
   * @param open the shoot
   * @param shown how it looks
   * @param wishes what was decided before
   * @param wasKept whether it is shown as it was kept
   * @param recent the shoots worked on last
   * @param trouble why nothing is kept, or what else went wrong beside it, or null
   */
  record Begun(
      OpenShoot open,
      ShownShoot shown,
      Wishes wishes,
      boolean wasKept,
      List<SavedShoots.Recent> recent,
      @Nullable String trouble) {}

  /**
   * Begins to work on a shoot; runs on a thread of its own.
   *
   * @throws ShootException if nothing can be done with it; nothing of it is open then
   */
  static Begun begin(ShootWork work, List<Path> roots, Monitor monitor) throws ShootException {
    ShootWork.Session session = work.open(roots);
    boolean done = false;
    try {
      OpenShoot open = new OpenShoot(roots, session);
      Wishes wishes = session.wishes();
      Optional<ShootWork.Outcome> kept = session.kept();
      ShootWork.Outcome outcome = kept.isPresent() ? kept.get() : session.read(wishes, monitor);
      if (kept.isEmpty() || session.isLinedUpFor(wishes)) {
        open.solvedFor = wishes;
      }
      String trouble = session.trouble().orElse(outcome.remark());
      done = true;
      return new Begun(
          open,
          new ShownShoot(outcome.shoot(), outcome.report()),
          wishes,
          kept.isPresent(),
          work.recent(),
          trouble);
    } finally {
      if (!done) {
        session.close();
      }
    }
  }

  /** Its folders and files. */
  List<Path> roots() {
    return roots;
  }

  /** Whether it was opened with these folders and files, in any order. */
  boolean isOf(List<Path> others) {
    return new HashSet<>(given).equals(new HashSet<>(others));
  }

  KeptDecisions decisions() {
    return decisions;
  }

  boolean needsReading(Wishes wishes) {
    return session.needsReading(wishes);
  }

  /** Reads and lines up; runs on a thread of its own. */
  ShownShoot read(Wishes wishes, Monitor monitor) throws ShootException {
    ShootWork.Outcome outcome = session.read(wishes, monitor);
    return new ShownShoot(outcome.shoot(), outcome.report());
  }

  /** Lines up; runs on a thread of its own. */
  ShownShoot lineUp(Wishes wishes, Monitor monitor) throws ShootException {
    ShootWork.Outcome outcome = session.lineUp(wishes, monitor);
    return new ShownShoot(outcome.shoot(), outcome.report());
  }

  /** Looks at the sources; runs on a thread of its own and ends soon after {@link #close}. */
  ShootSession.Changes changes() throws ShootException {
    return session.changes(
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {
            // Nobody waits for it.
          }

          @Override
          public boolean isCancelled() {
            return closed;
          }
        });
  }

  /** Folders and files of it that cannot be reached now; on a thread of its own. */
  List<Path> away() {
    return session.away();
  }

  /** Whether the line-up on show was made with these decisions. */
  boolean isSolvedFor(Wishes wishes) {
    return solvedFor != null && solvedFor.hasSameLineUp(wishes);
  }

  void setSolvedFor(Wishes wishes) {
    solvedFor = wishes;
    tried = null;
    trying = false;
    outdated = false;
  }

  /** Whether a line-up with these decisions goes on, or was given up. */
  boolean isTried(Wishes wishes) {
    return tried != null && tried.hasSameLineUp(wishes);
  }

  boolean isTrying() {
    return trying;
  }

  void setTried(Wishes wishes) {
    tried = wishes;
    trying = true;
    outdated = false;
  }

  /** What is tried is not wanted any more. */
  void setOutdated() {
    outdated = true;
  }

  /**
   * It came to nothing.
   *
   * @return whether it was not wanted any more
   */
  boolean endTry() {
    boolean was = outdated;
    trying = false;
    outdated = false;
    if (was) {
      tried = null;
    }
    return was;
  }

  /** What was given up may be tried once more. */
  void tryAgain() {
    if (!trying) {
      tried = null;
    }
  }

  /** Keeps what is decided and ends the work; may wait for the disk. From any thread. */
  void close() {
    closed = true;
    decisions.close();
  }
}
