package hardpan.desk;

import hardpan.desk.model.Texts;
import java.nio.file.Path;
import java.util.List;
import java.util.logging.Level;
import java.util.logging.Logger;
import javafx.application.Application;

/** Opens the window. */
public final class Desk {
  /**
   * The toolkit warns that it does not run from the module path. It runs well from the class path,
   * and the person can do nothing about it. Kept, because loggers are forgotten otherwise.
   */
  private static final Logger TOOLKIT = Logger.getLogger("javafx");

  private Desk() {}

  /**
   * Opens the window and returns when it has been closed. Can be called once in a process.
   *
   * @param paths folders and files to read at once; empty to begin with an empty window
   * @throws NoScreenException if there is no screen, or the machine lacks what a window needs
   */
  public static void open(List<Path> paths) throws NoScreenException {
    if (isLinuxWithoutDisplay()) {
      // The toolkit would find out too, but not without loading libraries and printing about them.
      throw new NoScreenException(Texts.of("no-display", Texts.of("display-unset")), null);
    }
    TOOLKIT.setLevel(Level.SEVERE);
    String[] arguments = paths.stream().map(Path::toString).toArray(String[]::new);
    try {
      Application.launch(DeskApplication.class, arguments);
    } catch (UnsupportedOperationException | LinkageError e) {
      throw noScreen(e);
    } catch (RuntimeException e) {
      // The toolkit wraps what it met on its own thread.
      Throwable cause = e.getCause();
      if (!DeskApplication.wasStarted()
          && (cause instanceof UnsupportedOperationException || cause instanceof LinkageError)) {
        throw noScreen(cause);
      }
      throw e;
    }
  }

  static boolean isLinuxWithoutDisplay() {
    String display = System.getenv("DISPLAY");
    return System.getProperty("os.name").startsWith("Linux")
        && System.getProperty("glass.platform") == null
        && (display == null || display.isEmpty());
  }

  private static NoScreenException noScreen(Throwable cause) {
    String message = cause.getMessage();
    String reason = message == null ? cause.getClass().getSimpleName() : message;
    return new NoScreenException(
        Texts.of("no-display", reason.lines().findFirst().orElse("")), cause);
  }

  /**
   * Stops the work without asking and waits for it to clean up, for when the process is told to
   * end. Does nothing if there is no window. Safe to call from any thread.
   */
  public static void stop() {
    DeskApplication.stopRunning();
  }
}
