package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.report.Report;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** The long steps of the job as the window needs them; never called on the toolkit's thread. */
public interface ShootWork {
  /**
   * Begins to work on a shoot.
   *
   * @param roots its folders and files, or one saved shoot
   * @throws ShootException if it is a saved shoot that cannot be used
   */
  Session open(List<Path> roots) throws ShootException;

  /** The shoots worked on last, the latest first. */
  List<SavedShoots.Recent> recent();

  /** Takes a shoot off the list of those worked on last. */
  void forget(SavedShoots.Recent shoot);

  /** A shoot while it is worked on. */
  interface Session {
    /** As it was kept on an earlier day, if it was. */
    Optional<Outcome> kept();

    /**
     * Its folders and files; a saved shoot knows them itself.
     *
     * @param given what it was opened with
     */
    default List<Path> roots(List<Path> given) {
      return given;
    }

    /** What was decided before. */
    Wishes wishes();

    /** Whether what was kept was lined up with these decisions. */
    boolean isLinedUpFor(Wishes wishes);

    /** Whether {@link #lineUp} must fetch measurements before. */
    boolean needsReading(Wishes wishes);

    /**
     * Finds, reads and lines up.
     *
     * @throws ShootException if nothing can be done with the sources
     */
    Outcome read(Wishes wishes, Monitor monitor) throws ShootException;

    /**
     * Lines up with other decisions.
     *
     * @throws ShootException if they cannot be kept to
     */
    Outcome lineUp(Wishes wishes, Monitor monitor) throws ShootException;

    /**
     * Looks whether the sources are still those that were kept.
     *
     * @throws ShootException if they cannot be looked at
     */
    ShootSession.Changes changes(Monitor monitor) throws ShootException;

    /**
     * Given folders and files that cannot be reached now, as when a drive was pulled; a look at
     * names, nothing is read. Safe beside everything else.
     */
    List<Path> away();

    /** Keeps what is decided. */
    void keep(Wishes wishes);

    /** Why nothing is kept, one sentence, if so. */
    Optional<String> trouble();

    /** Ends the work on it; what was kept is kept. */
    void close();
  }

  /**
   * Looks whether a hand-over could go to a folder.
   *
   * @return whether an earlier hand-over lies there, which would be replaced
   * @throws ShootException if it cannot go there
   */
  boolean wouldReplace(Shoot shoot, Path target) throws ShootException;

  /**
   * Writes the hand-over.
   *
   * @param replace whether an earlier one may be replaced
   * @param wishes what is decided about lanes and files
   * @throws ShootException if it cannot be written; nothing is left then
   */
  Outcome handOver(Shoot shoot, Path target, boolean replace, Wishes wishes, Monitor monitor)
      throws ShootException;

  /**
   * What came of it.
   *
   * @param shoot the shoot
   * @param report its report
   * @param remark something that went wrong beside it and does no harm, or null
   */
  record Outcome(Shoot shoot, Report report, @Nullable String remark) {}
}
