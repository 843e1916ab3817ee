package hardpan.desk.model;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * A message at the foot of the window.
 *
 * @param mark its shape
 * @param text what happened and what to do
 * @param page the report's page to open, or null
 */
public record Notice(Mark mark, String text, @Nullable Path page) {}
