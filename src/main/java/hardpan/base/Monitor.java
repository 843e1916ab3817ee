package hardpan.base;

import java.util.concurrent.CancellationException;

/**
 * How long work talks to whoever started it. The command line and the window each implement it; the
 * work does not know which one it has. Implementations must be safe to call from several threads.
 */
public interface Monitor {
  /** A monitor that shows nothing and never cancels. */
  Monitor SILENT =
      new Monitor() {
        @Override
        public void progress(String stage, double fraction) {}

        @Override
        public boolean isCancelled() {
          return false;
        }
      };

  /**
   * Tells how far the work is. Cheap; may be called often, intermediate values may be dropped.
   *
   * @param stage what is being done now, a few plain words
   * @param fraction share of the whole job that is done, 0 to 1
   */
  void progress(String stage, double fraction);

  /** Whether the person asked to stop. */
  boolean isCancelled();

  /**
   * Stops the caller if the person asked to stop.
   *
   * @throws CancellationException if cancelled; not an error, callers clean up and let it pass
   */
  default void checkCancelled() {
    if (isCancelled()) {
      throw new CancellationException("cancelled");
    }
  }
}
