package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.HandOverStopped;
import hardpan.shoot.ShootException;
import java.util.Locale;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import javafx.beans.property.ReadOnlyBooleanProperty;
import javafx.beans.property.ReadOnlyBooleanWrapper;
import javafx.beans.property.ReadOnlyDoubleProperty;
import javafx.beans.property.ReadOnlyDoubleWrapper;
import javafx.beans.property.ReadOnlyStringProperty;
import javafx.beans.property.ReadOnlyStringWrapper;
import org.jspecify.annotations.Nullable;

/**
 * Runs long work, one piece at a time, and shows how far it is. All but {@link #stopForGood}
 * belongs to the window's thread; the work itself runs on a thread of its own.
 */
final class WorkRunner {
  private static final long LONGEST_CLEAN_UP_SECONDS = 20;

  private final DeskModel.Starter starter;
  private final Executor ui;
  private final LongSupplier nanoTime;
  private final Runnable idle;

  private final ReadOnlyBooleanWrapper working = new ReadOnlyBooleanWrapper();
  private final ReadOnlyDoubleWrapper progress = new ReadOnlyDoubleWrapper();
  private final ReadOnlyStringWrapper stage = new ReadOnlyStringWrapper("");
  private final ReadOnlyStringWrapper timeLeft = new ReadOnlyStringWrapper("");

  private volatile @Nullable Running current;
  private @Nullable Runnable afterwards;

  /** The work under way; {@code ended} opens when it has cleaned up after itself. */
  private record Running(MonitorBridge monitor, CountDownLatch ended, TimeLeft timeLeft) {}

  /** Work that takes long. */
  @FunctionalInterface
  interface LongWork<T> {
    T run(Monitor monitor) throws ShootException;
  }

  /** How a piece of work failed. */
  enum Failure {
    /** The person stopped it. */
    CANCELLED,
    /** It cannot be done; the sentence says why. */
    REFUSED,
    /** The program has a fault. */
    BROKEN
  }

  /** Is told of a failure, with a sentence to show. */
  @FunctionalInterface
  interface Failed {
    void tell(Failure failure, String sentence);
  }

  /**
   * A piece of work.
   *
   * @param threadName name of its thread
   * @param from share of the whole job at which it begins
   * @param to share at which it ends
   */
  record Piece(String threadName, double from, double to) {}

  /**
   * For one window.
   *
   * @param idle called when a piece of work has ended and its result was taken
   */
  WorkRunner(DeskModel.Starter starter, Executor ui, LongSupplier nanoTime, Runnable idle) {
    this.starter = starter;
    this.ui = ui;
    this.nanoTime = nanoTime;
    this.idle = idle;
  }

  ReadOnlyBooleanProperty workingProperty() {
    return working.getReadOnlyProperty();
  }

  boolean isWorking() {
    return working.get();
  }

  ReadOnlyDoubleProperty progressProperty() {
    return progress.getReadOnlyProperty();
  }

  ReadOnlyStringProperty stageProperty() {
    return stage.getReadOnlyProperty();
  }

  ReadOnlyStringProperty timeLeftProperty() {
    return timeLeft.getReadOnlyProperty();
  }

  /** Starts work; nothing else may be going on. */
  <T> void run(Piece piece, LongWork<T> longWork, Consumer<T> done, Failed failed) {
    MonitorBridge monitor = new MonitorBridge(ui, piece.from(), piece.to(), this::show);
    CountDownLatch end = new CountDownLatch(1);
    current = new Running(monitor, end, new TimeLeft(nanoTime.getAsLong()));
    progress.set(0);
    timeLeft.set("");
    stage.set(Texts.of("stage.starting"));
    working.set(true);
    starter.start(
        piece.threadName(),
        () -> {
          try {
            T result = longWork.run(monitor);
            ui.execute(() -> ended(() -> done.accept(result)));
          } catch (HandOverStopped e) {
            fail(failed, Failure.CANCELLED, Texts.of("cancelled.kept", e.whatIsKept()));
          } catch (CancellationException e) {
            fail(failed, Failure.CANCELLED, Texts.of("cancelled"));
          } catch (ShootException e) {
            fail(failed, Failure.REFUSED, e.sentence());
          } catch (RuntimeException | Error e) {
            // The window must live on and say so; the work has cleaned up on its way out.
            fail(failed, Failure.BROKEN, Texts.of("fault", e));
          } finally {
            end.countDown();
          }
        });
  }

  private void fail(Failed failed, Failure failure, String sentence) {
    ui.execute(() -> ended(() -> failed.tell(failure, sentence)));
  }

  private void ended(Runnable then) {
    current = null;
    working.set(false);
    Runnable closing = afterwards;
    if (closing != null) {
      closing.run();
    } else {
      then.run();
      idle.run();
    }
  }

  private void show(MonitorBridge from, String what, double fraction) {
    Running running = current;
    if (running != null && from.equals(running.monitor()) && !from.isCancelled()) {
      progress.set(Math.max(progress.get(), fraction));
      stage.set(what.substring(0, 1).toUpperCase(Locale.ROOT) + what.substring(1));
      timeLeft.set(running.timeLeft().words(progress.get(), nanoTime.getAsLong()));
    }
  }

  /** Asks the running work to stop. */
  void cancel() {
    Running running = current;
    if (running != null) {
      running.monitor().cancel();
      timeLeft.set("");
      stage.set(Texts.of("stage.stopping"));
    }
  }

  /** Whether something waits for the work to end. */
  boolean isClosing() {
    return afterwards != null;
  }

  /** Stops the work, and does something else when it has cleaned up after itself. */
  void stopThen(Runnable then) {
    if (working.get()) {
      afterwards = then;
      cancel();
    } else {
      then.run();
    }
  }

  /** As {@link DeskModel#stopForGood}. */
  boolean stopForGood() {
    Running running = current;
    if (running != null) {
      running.monitor().cancel();
      try {
        return running.ended().await(LONGEST_CLEAN_UP_SECONDS, TimeUnit.SECONDS);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        return false;
      }
    }
    return true;
  }
}
