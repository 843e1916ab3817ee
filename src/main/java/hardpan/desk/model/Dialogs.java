package hardpan.desk.model;

import java.nio.file.Path;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Everything the window has to ask in a window of its own, so that tests can answer. */
public interface Dialogs {
  /**
   * Asks for a saved shoot; by default nobody is there to ask.
   *
   * @param title what for
   * @return the file, or nothing if the person thought better of it
   */
  default Optional<Path> chooseSavedShoot(String title) {
    return Optional.empty();
  }

  /**
   * Asks for a folder.
   *
   * @param title what it is for
   * @param near where to begin, or null
   * @return the folder, or empty if the person thought better of it
   */
  Optional<Path> chooseFolder(String title, @Nullable Path near);

  /**
   * Asks to go ahead.
   *
   * @param question what is at stake
   * @param yes words of the button that goes ahead
   * @param no words of the button that does not; the one chosen by default
   */
  boolean confirm(String question, String yes, String no);
}
