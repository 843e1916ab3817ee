package hardpan.shoot;

import hardpan.base.Monitor;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;

/** Does the same step for many things on all cores, reporting how many are done. */
final class Crew {
  private Crew() {}

  /** One step for one thing. */
  @FunctionalInterface
  interface Step<T, R> {
    R run(T thing) throws Exception;
  }

  /**
   * Runs the steps and waits.
   *
   * @param things what to work on
   * @param stage what is being done, for the monitor
   * @param from share of the whole job done before
   * @param to share of the whole job done after
   * @return the results in the order of the things
   * @throws CancellationException if the monitor asked to stop; all steps have ended by then
   * @throws Exception what the first failing step threw; all steps have ended by then
   */
  static <T, R> List<R> all(
      List<T> things, String stage, double from, double to, Monitor monitor, Step<T, R> step)
      throws Exception {
    if (things.isEmpty()) {
      return List.of();
    }
    monitor.progress(stage, from);
    int threads = Math.min(things.size(), Runtime.getRuntime().availableProcessors());
    AtomicInteger number = new AtomicInteger();
    ExecutorService crew =
        Executors.newFixedThreadPool(
            threads,
            work -> {
              Thread thread = new Thread(work, "hardpan-crew-" + number.incrementAndGet());
              thread.setDaemon(true);
              return thread;
            });
    AtomicInteger done = new AtomicInteger();
    try {
      List<Future<R>> futures = new ArrayList<>();
      for (T thing : things) {
        futures.add(
            crew.submit(
                () -> {
                  monitor.checkCancelled();
                  R result = step.run(thing);
                  double share = done.incrementAndGet() / (double) things.size();
                  monitor.progress(stage, from + (to - from) * share);
                  return result;
                }));
      }
      return collected(futures);
    } finally {
      crew.shutdown();
    }
  }

  /** Waits for all, so that nothing still runs when a failure is passed on. */
  private static <R> List<R> collected(List<Future<R>> futures) throws Exception {
    List<R> results = new ArrayList<>();
    Exception failure = null;
    for (Future<R> future : futures) {
      try {
        R result = future.get();
        results.add(result);
      } catch (ExecutionException e) {
        Throwable cause = e.getCause();
        if (cause instanceof Error error) {
          throw error;
        }
        boolean first = failure == null || failure instanceof CancellationException;
        if (first && cause instanceof Exception exception) {
          failure = exception;
        }
      }
    }
    if (failure != null) {
      throw failure;
    }
    return results;
  }
}
