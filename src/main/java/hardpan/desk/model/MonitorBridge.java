package hardpan.desk.model;

import hardpan.base.Monitor;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicReference;
import org.jspecify.annotations.Nullable;

/**
 * Carries progress from the working threads to the window's. However often the work speaks, at most
 * one message waits for the window at a time, and it is the latest.
 */
final class MonitorBridge implements Monitor {
  private final Executor ui;
  private final Sink sink;
  private final double from;
  private final double to;
  private final AtomicReference<@Nullable Shown> waiting = new AtomicReference<>();
  private volatile boolean cancelled;

  private record Shown(String stage, double fraction) {}

  /** Where progress is shown. */
  @FunctionalInterface
  interface Sink {
    void show(MonitorBridge from, String stage, double fraction);
  }

  /**
   * For one piece of work.
   *
   * @param ui runs things on the window's thread
   * @param from share of the whole job at which this piece begins
   * @param to share at which it ends, more than {@code from}
   * @param sink called on the window's thread, with 0 to 1 of this piece
   */
  MonitorBridge(Executor ui, double from, double to, Sink sink) {
    this.ui = ui;
    this.from = from;
    this.to = to;
    this.sink = sink;
  }

  @Override
  public void progress(String stage, double fraction) {
    double share = Math.max(0, Math.min(1, (fraction - from) / (to - from)));
    if (waiting.getAndSet(new Shown(stage, share)) == null) {
      ui.execute(this::deliver);
    }
  }

  private void deliver() {
    Shown shown = waiting.getAndSet(null);
    if (shown != null) {
      sink.show(this, shown.stage(), shown.fraction());
    }
  }

  @Override
  public boolean isCancelled() {
    return cancelled;
  }

  void cancel() {
    cancelled = true;
  }
}
