package hardpan.desk.model;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * A message at the foot of the window.
 *
 * @param mark its shape
 * @param text what happened and what to do
 * @param page the report's page to open, or null
 * @param action what can be done about it with one button, or null
 */
public record Notice(Mark mark, String text, @Nullable Path page, @Nullable Action action) {
  /** Without a button of its own. */
  public Notice(Mark mark, String text, @Nullable Path page) {
    this(mark, text, page, null);
  }

  /** What a message can offer. */
  public enum Action {
    /** Read the sources again. */
    READ_AGAIN,
    /** Line up with what is decided. */
    LINE_UP
  }
}
