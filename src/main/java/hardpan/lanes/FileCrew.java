package hardpan.lanes;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;

/** Does the same to several files at once: the disk and one core are not enough for each other. */
final class FileCrew {
  private FileCrew() {}

  /** What is done to one. */
  @FunctionalInterface
  interface Step<T, R> {
    /** Does it. */
    R of(T thing) throws IOException;
  }

  /**
   * All results, in the order of the things. All steps have ended when it returns or throws.
   *
   * @throws IOException the first that a step threw
   */
  static <T, R> List<R> all(List<T> things, Step<T, R> step) throws IOException {
    int threads = Math.min(things.size(), Runtime.getRuntime().availableProcessors());
    if (threads < 2) {
      List<R> results = new ArrayList<>();
      for (T thing : things) {
        results.add(step.of(thing));
      }
      return results;
    }
    AtomicInteger number = new AtomicInteger();
    ExecutorService pool =
        Executors.newFixedThreadPool(
            threads,
            work -> {
              Thread thread = new Thread(work, "hardpan-lane-" + number.incrementAndGet());
              thread.setDaemon(true);
              return thread;
            });
    try {
      List<Future<R>> futures = new ArrayList<>();
      for (T thing : things) {
        futures.add(pool.submit(() -> step.of(thing)));
      }
      return results(futures);
    } finally {
      pool.shutdown();
    }
  }

  private static <R> List<R> results(List<Future<R>> futures) throws IOException {
    List<R> results = new ArrayList<>();
    Throwable failure = null;
    boolean interrupted = false;
    for (Future<R> future : futures) {
      for (boolean waiting = true; waiting; ) {
        try {
          results.add(future.get());
          waiting = false;
        } catch (ExecutionException e) {
          failure = failure == null ? e.getCause() : failure;
          waiting = false;
        } catch (InterruptedException e) {
          // The files must not be closed under the steps that still write.
          interrupted = true;
        }
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    if (failure instanceof IOException failed) {
      throw failed;
    }
    if (failure instanceof RuntimeException failed) {
      throw failed;
    }
    if (failure instanceof Error failed) {
      throw failed;
    }
    return results;
  }
}
