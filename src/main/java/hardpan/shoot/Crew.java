package hardpan.shoot;

import hardpan.base.Monitor;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;

/** Does the same step for many things on all cores, reporting how much is done. */
final class Crew {
  private Crew() {}

  /** One step for one thing. */
  @FunctionalInterface
  interface Step<T, R> {
    /**
     * Does it.
     *
     * @param monitor takes the progress of this step alone, 0 to 1
     */
    R run(T thing, Monitor monitor) throws Exception;
  }

  /**
   * Runs the steps and waits. After a failure no further step is begun.
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
    AtomicBoolean stopped = new AtomicBoolean(Thread.currentThread().isInterrupted());
    Shares shares = new Shares(monitor, stage, from, to, things.size());
    try {
      List<Future<R>> futures = new ArrayList<>();
      for (int i = 0; i < things.size(); i++) {
        int index = i;
        T thing = things.get(i);
        futures.add(
            crew.submit(
                () -> {
                  if (stopped.get()) {
                    throw new CancellationException("another step failed");
                  }
                  try {
                    monitor.checkCancelled();
                    R result = step.run(thing, shares.of(index));
                    shares.report(index, 1);
                    return result;
                  } catch (Exception | Error e) {
                    stopped.set(true);
                    throw e;
                  }
                }));
      }
      return collected(futures, stopped);
    } finally {
      crew.shutdown();
    }
  }

  /** Waits for all, so that nothing still runs when a failure is passed on. */
  private static <R> List<R> collected(List<Future<R>> futures, AtomicBoolean stopped)
      throws Exception {
    List<R> results = new ArrayList<>();
    Throwable failure = null;
    boolean interrupted = false;
    for (Future<R> future : futures) {
      for (boolean waiting = true; waiting; ) {
        try {
          results.add(future.get());
          waiting = false;
        } catch (ExecutionException e) {
          Throwable cause = e.getCause() == null ? e : e.getCause();
          failure = graver(failure, cause);
          waiting = false;
        } catch (InterruptedException e) {
          // The steps under way must end first; no new ones begin.
          interrupted = true;
          stopped.set(true);
        }
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    if (failure instanceof Error error) {
      throw error;
    }
    if (failure instanceof Exception exception) {
      throw exception;
    }
    return results;
  }

  /** An error before an exception, that before a cancel; else the first. */
  private static Throwable graver(@Nullable Throwable first, Throwable next) {
    return first == null || weight(next) > weight(first) ? next : first;
  }

  private static int weight(Throwable failure) {
    return failure instanceof Error ? 2 : failure instanceof CancellationException ? 0 : 1;
  }

  /** Adds the progress of the single steps up to the progress of the whole job. */
  private static final class Shares {
    private final Monitor whole;
    private final String stage;
    private final double from;
    private final double to;
    private final double[] done;
    private double sum;

    Shares(Monitor whole, String stage, double from, double to, int count) {
      this.whole = whole;
      this.stage = stage;
      this.from = from;
      this.to = to;
      this.done = new double[count];
    }

    synchronized void report(int index, double fraction) {
      double share = Math.max(done[index], Math.min(1, fraction));
      sum += share - done[index];
      done[index] = share;
      whole.progress(stage, Math.min(to, from + (to - from) * sum / done.length));
    }

    Monitor of(int index) {
      return new Monitor() {
        @Override
        public void progress(String inner, double fraction) {
          report(index, fraction);
        }

        @Override
        public boolean isCancelled() {
          return whole.isCancelled();
        }
      };
    }
  }
}
