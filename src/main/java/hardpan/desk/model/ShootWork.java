package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.report.Report;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The long steps of the job as the window needs them; never called on the toolkit's thread. */
public interface ShootWork {
  /**
   * Finds, reads and lines up.
   *
   * @param roots folders and files
   * @throws ShootException if nothing can be done with them
   */
  Outcome read(List<Path> roots, Monitor monitor) throws ShootException;

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
   * @throws ShootException if it cannot be written; nothing is left then
   */
  Outcome handOver(Shoot shoot, Path target, boolean replace, Monitor monitor)
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
