package hardpan.desk;

import java.nio.file.Path;

/** Opens a page in the person's browser. */
@FunctionalInterface
interface PageOpener {
  /** Opens it; a page that cannot be opened is no error here. */
  void open(Path page);
}
