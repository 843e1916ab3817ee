package hardpan.lanes;

import java.io.IOException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.jspecify.annotations.Nullable;

/**
 * Writes one block while the next one is read: one block at a time, on a thread of its own. Whoever
 * uses it has two blocks and takes them in turn.
 */
final class BlockPump implements AutoCloseable {
  private final ExecutorService writer =
      Executors.newSingleThreadExecutor(
          work -> {
            Thread thread = new Thread(work, "hardpan-lane-writer");
            thread.setDaemon(true);
            return thread;
          });

  private @Nullable Future<?> underWay;

  /** What is done with a block. */
  @FunctionalInterface
  interface Write {
    /** Does it. */
    void run() throws IOException;
  }

  /**
   * Waits until the block before is written, and has this one written.
   *
   * @throws IOException if the block before could not be written
   */
  void write(Write block) throws IOException {
    await();
    underWay =
        writer.submit(
            () -> {
              block.run();
              return null;
            });
  }

  /**
   * Waits until everything is written.
   *
   * @throws IOException if the last block could not be written
   */
  void await() throws IOException {
    Future<?> last = underWay;
    underWay = null;
    boolean interrupted = false;
    while (last != null) {
      try {
        last.get();
        last = null;
      } catch (InterruptedException e) {
        // The files must not be closed under the block that is being written.
        interrupted = true;
      } catch (ExecutionException e) {
        if (e.getCause() instanceof IOException failed) {
          throw failed;
        }
        if (e.getCause() instanceof Error failed) {
          throw failed;
        }
        throw e.getCause() instanceof RuntimeException failed
            ? failed
            : new IllegalStateException(e.getCause());
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  /** Waits for what is under way; its failure is of no more interest. */
  @Override
  public void close() {
    try {
      await();
    } catch (IOException | RuntimeException e) {
      // Whoever closes without having waited has a failure of its own to tell.
      underWay = null;
    } finally {
      writer.shutdown();
    }
  }
}
