package hardpan.demo;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;

/** A few named threads that share out independent pieces of work. */
final class Workers implements AutoCloseable {
  private static final int MOST = 4;

  private final ExecutorService threads;

  Workers() {
    AtomicInteger number = new AtomicInteger();
    int count = Math.max(1, Math.min(MOST, Runtime.getRuntime().availableProcessors()));
    this.threads =
        Executors.newFixedThreadPool(
            count,
            task -> {
              Thread thread = new Thread(task, "demo-maker-" + number.incrementAndGet());
              thread.setDaemon(true);
              return thread;
            });
  }

  /**
   * Does all pieces and waits for them; the first failure stops what has not begun.
   *
   * @return results in the order of the pieces
   * @throws IOException what a piece threw
   */
  <T> List<T> all(List<Callable<T>> pieces) throws IOException {
    List<Future<T>> running = new ArrayList<>();
    for (Callable<T> piece : pieces) {
      running.add(threads.submit(piece));
    }
    List<T> results = new ArrayList<>();
    try {
      for (Future<T> one : running) {
        results.add(one.get());
      }
      return results;
    } catch (ExecutionException e) {
      Throwable cause = e.getCause();
      if (cause instanceof IOException failure) {
        throw failure;
      }
      if (cause instanceof RuntimeException failure) {
        throw failure;
      }
      throw new IllegalStateException("demo worker failed", cause);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      CancellationException cancelled = new CancellationException("interrupted");
      cancelled.initCause(e);
      throw cancelled;
    } finally {
      running.forEach(one -> one.cancel(false));
    }
  }

  /** Waits until nothing runs any more, so that the caller may clear away what was being made. */
  @Override
  public void close() {
    threads.shutdown();
    boolean interrupted = false;
    boolean ended = false;
    while (!ended) {
      try {
        ended = threads.awaitTermination(1, TimeUnit.SECONDS);
      } catch (InterruptedException e) {
        interrupted = true;
        threads.shutdownNow();
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }
}
