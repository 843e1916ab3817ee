package hardpan.cli;

import hardpan.base.Monitor;
import java.io.PrintWriter;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicBoolean;

/**
 * Where the commands speak: results on standard output, progress and errors on standard error.
 * Progress is shown on a terminal only and is wiped before anything else is written.
 */
final class Terminal implements Monitor {
  private final PrintWriter out;
  private final PrintWriter err;
  private final boolean showProgress;
  private final AtomicBoolean cancelled = new AtomicBoolean();

  private volatile Runnable whenCancelled = () -> {};
  private int shownPercent = -1;
  private String shownStage = "";

  Terminal(PrintWriter out, PrintWriter err, boolean showProgress) {
    this.out = out;
    this.err = err;
    this.showProgress = showProgress;
  }

  PrintWriter out() {
    return out;
  }

  /** Writes one line to standard error. */
  synchronized void complain(String sentence) {
    wipe();
    err.println("hardpan: " + sentence);
    err.flush();
  }

  @Override
  public synchronized void progress(String stage, double fraction) {
    int percent = (int) Math.round(100 * Math.max(0, Math.min(1, fraction)));
    boolean changed = percent > shownPercent || !stage.equals(shownStage);
    if (showProgress && changed && !isCancelled()) {
      shownPercent = Math.max(percent, shownPercent);
      shownStage = stage;
      err.print(String.format(Locale.ROOT, "\r%3d %%  %-30s", shownPercent, stage));
      err.flush();
    }
  }

  /** Removes the progress line. */
  synchronized void wipe() {
    if (showProgress && shownPercent >= 0) {
      err.print("\r" + " ".repeat(40) + "\r");
      err.flush();
      shownPercent = -1;
    }
  }

  @Override
  public boolean isCancelled() {
    return cancelled.get();
  }

  /** Asks the work to stop. */
  void cancel() {
    cancelled.set(true);
    whenCancelled.run();
  }

  /** Sets what else is to happen when the person asks to stop; the last one set counts. */
  void onCancel(Runnable action) {
    whenCancelled = action;
  }
}
