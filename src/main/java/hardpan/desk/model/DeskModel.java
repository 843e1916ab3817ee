package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.HandOverStopped;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSteps;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import javafx.beans.property.ReadOnlyBooleanProperty;
import javafx.beans.property.ReadOnlyBooleanWrapper;
import javafx.beans.property.ReadOnlyDoubleProperty;
import javafx.beans.property.ReadOnlyDoubleWrapper;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.ReadOnlyStringProperty;
import javafx.beans.property.ReadOnlyStringWrapper;
import javafx.beans.property.SimpleObjectProperty;
import javafx.beans.property.SimpleStringProperty;
import javafx.beans.property.StringProperty;
import org.jspecify.annotations.Nullable;

/**
 * What the window knows and can do. All methods and properties belong to one thread, the window's;
 * long work runs on a thread of its own and comes back through the given executor. One piece of
 * work at a time.
 */
public final class DeskModel {
  private static final long LONGEST_CLEAN_UP_SECONDS = 20;

  private final ShootWork work;
  private final Starter starter;
  private final Executor ui;
  private final Dialogs dialogs;

  private final ReadOnlyObjectWrapper<@Nullable ShownShoot> shoot = new ReadOnlyObjectWrapper<>();
  private final SimpleObjectProperty<@Nullable SourceRow> chosen = new SimpleObjectProperty<>();
  private final ReadOnlyObjectWrapper<@Nullable Notice> notice = new ReadOnlyObjectWrapper<>();
  private final ReadOnlyBooleanWrapper working = new ReadOnlyBooleanWrapper();
  private final ReadOnlyDoubleWrapper progress = new ReadOnlyDoubleWrapper();
  private final ReadOnlyStringWrapper stage = new ReadOnlyStringWrapper("");
  private final StringProperty target = new SimpleStringProperty("");
  private final Cursor cursor = new Cursor();
  private final Edits edits = new Edits();

  private volatile @Nullable Running current;
  private @Nullable Runnable afterwards;

  /** Starts work on a thread of its own. */
  @FunctionalInterface
  public interface Starter {
    /** Daemon threads with the given name. */
    Starter THREADS =
        (name, work) -> {
          Thread thread = new Thread(work, name);
          thread.setDaemon(true);
          thread.start();
        };

    /** Starts it. */
    void start(String threadName, Runnable work);
  }

  /** The work under way; {@code ended} opens when it has cleaned up after itself. */
  private record Running(MonitorBridge monitor, CountDownLatch ended) {}

  /** Work that takes long. */
  @FunctionalInterface
  private interface LongWork<T> {
    T run(Monitor monitor) throws ShootException;
  }

  /**
   * For one window.
   *
   * @param work the steps of the job
   * @param starter runs them
   * @param ui runs things on the window's thread
   * @param dialogs asks the person
   */
  public DeskModel(ShootWork work, Starter starter, Executor ui, Dialogs dialogs) {
    this.work = work;
    this.starter = starter;
    this.ui = ui;
    this.dialogs = dialogs;
  }

  /** The shoot on show; null at first. */
  public ReadOnlyObjectProperty<@Nullable ShownShoot> shootProperty() {
    return shoot.getReadOnlyProperty();
  }

  /** The chosen source; null for none. */
  public SimpleObjectProperty<@Nullable SourceRow> chosenProperty() {
    return chosen;
  }

  /** The message on show; null for none. */
  public ReadOnlyObjectProperty<@Nullable Notice> noticeProperty() {
    return notice.getReadOnlyProperty();
  }

  /** Whether long work is going on. */
  public ReadOnlyBooleanProperty workingProperty() {
    return working.getReadOnlyProperty();
  }

  /** How far it is, 0 to 1. */
  public ReadOnlyDoubleProperty progressProperty() {
    return progress.getReadOnlyProperty();
  }

  /** What it does now, with a capital. */
  public ReadOnlyStringProperty stageProperty() {
    return stage.getReadOnlyProperty();
  }

  /** The folder to hand over to, as typed. */
  public StringProperty targetProperty() {
    return target;
  }

  /** The instants on the reference clock that all views share. */
  public Cursor cursor() {
    return cursor;
  }

  /** What the person decided. */
  public Edits edits() {
    return edits;
  }

  /** Asks for a folder and reads it. */
  public void chooseShoot() {
    if (!working.get()) {
      dialogs
          .chooseFolder(Texts.of("choose.shoot"), null)
          .ifPresent(folder -> open(List.of(folder)));
    }
  }

  /** Reads folders and files, in place of what is on show. Does nothing while work goes on. */
  public void open(List<Path> paths) {
    if (working.get() || paths.isEmpty()) {
      return;
    }
    List<Path> roots = List.copyOf(paths);
    run(
        "hardpan-desk-read",
        0,
        ShootSteps.LINED_UP,
        monitor -> {
          ShootWork.Outcome outcome = work.read(roots, monitor);
          return new Read(new ShownShoot(outcome.shoot(), outcome.report()), outcome.remark());
        },
        read -> {
          chosen.set(null);
          shoot.set(read.shown());
          target.set(Targets.beside(roots.get(0), read.shown().name()).toString());
          if (read.remark() != null) {
            notice.set(new Notice(Mark.WARNING, read.remark(), null));
          }
        });
  }

  private record Read(ShownShoot shown, @Nullable String remark) {}

  /** Asks for the folder in which the hand-over's folder is to be made. */
  public void chooseTarget() {
    ShownShoot shown = shoot.get();
    if (shown != null && !working.get()) {
      Path now = typedTarget();
      dialogs
          .chooseFolder(Texts.of("choose.target"), now == null ? null : now.getParent())
          .ifPresent(folder -> target.set(Targets.inside(folder, shown.name()).toString()));
    }
  }

  private @Nullable Path typedTarget() {
    try {
      String typed = target.get().strip();
      return typed.isEmpty() ? null : Path.of(typed).toAbsolutePath();
    } catch (InvalidPathException e) {
      return null;
    }
  }

  /** Writes the hand-over to the target; asks first if an earlier one is there. */
  public void handOver() {
    ShownShoot shown = shoot.get();
    if (shown == null || working.get()) {
      return;
    }
    Path folder = typedTarget();
    if (folder == null) {
      notice.set(new Notice(Mark.FAULT, Texts.of("target.none"), null));
      return;
    }
    run(
        "hardpan-desk-check",
        0,
        1,
        monitor -> work.wouldReplace(shown.shoot(), folder),
        replace -> {
          boolean goAhead =
              !replace
                  || dialogs.confirm(
                      Texts.of("replace.question", folder),
                      Texts.of("replace.yes"),
                      Texts.of("replace.no"));
          if (goAhead) {
            write(shown, folder, replace);
          }
        });
  }

  private void write(ShownShoot shown, Path folder, boolean replace) {
    run(
        "hardpan-desk-hand-over",
        ShootSteps.LINED_UP,
        1,
        monitor -> {
          ShootWork.Outcome outcome = work.handOver(shown.shoot(), folder, replace, monitor);
          int lanes = outcome.report().trackCount();
          return new Written(
              new ShownShoot(outcome.shoot(), outcome.report()), lanes, outcome.remark());
        },
        written -> {
          SourceRow before = chosen.get();
          shoot.set(written.shown());
          chosen.set(again(written.shown(), before));
          Path page = folder.resolve("report.html");
          String remark = written.remark() == null ? "" : " " + written.remark();
          notice.set(
              new Notice(
                  Mark.DONE, Texts.count("done", written.lanes()) + " " + page + remark, page));
        });
  }

  private record Written(ShownShoot shown, int lanes, @Nullable String remark) {}

  private static @Nullable SourceRow again(ShownShoot shown, @Nullable SourceRow before) {
    return before == null
        ? null
        : shown.rows().stream()
            .filter(row -> row.path().equals(before.path()))
            .findFirst()
            .orElse(null);
  }

  /** Asks the running work to stop; it says so when it has. */
  public void cancel() {
    Running running = current;
    if (running != null) {
      running.monitor().cancel();
      stage.set(Texts.of("stage.stopping"));
    }
  }

  /**
   * The person wants to close the window. While work goes on it asks, and closes only when the work
   * has cleaned up after itself.
   *
   * @param close closes it
   */
  public void close(Runnable close) {
    if (!working.get()) {
      close.run();
    } else if (afterwards != null
        || dialogs.confirm(
            Texts.of("close.question"), Texts.of("close.yes"), Texts.of("close.no"))) {
      if (working.get()) {
        afterwards = close;
        cancel();
      } else {
        // The work ended while the question was open.
        close.run();
      }
    }
  }

  /**
   * Stops the work and waits until it has cleaned up after itself, or for a while at most; for when
   * the process is told to end. Unlike the rest it may be called from any thread, and does not need
   * the window's.
   *
   * @return whether nothing runs any more
   */
  public boolean stopForGood() {
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

  private <T> void run(
      String threadName, double from, double to, LongWork<T> longWork, Consumer<T> done) {
    MonitorBridge monitor = new MonitorBridge(ui, from, to, this::show);
    CountDownLatch end = new CountDownLatch(1);
    current = new Running(monitor, end);
    notice.set(null);
    progress.set(0);
    stage.set(Texts.of("stage.starting"));
    working.set(true);
    starter.start(
        threadName,
        () -> {
          try {
            T result = longWork.run(monitor);
            ui.execute(() -> ended(() -> done.accept(result)));
          } catch (HandOverStopped e) {
            failed(Mark.NOTE, Texts.of("cancelled.kept", e.whatIsKept()));
          } catch (CancellationException e) {
            failed(Mark.NOTE, Texts.of("cancelled"));
          } catch (ShootException e) {
            failed(Mark.FAULT, e.sentence());
          } catch (RuntimeException | Error e) {
            // The window must live on and say so; the work has cleaned up on its way out.
            failed(Mark.FAULT, Texts.of("fault", e));
          } finally {
            end.countDown();
          }
        });
  }

  private void failed(Mark mark, String sentence) {
    ui.execute(() -> ended(() -> notice.set(new Notice(mark, sentence, null))));
  }

  private void ended(Runnable then) {
    current = null;
    working.set(false);
    Runnable closing = afterwards;
    if (closing != null) {
      closing.run();
    } else {
      then.run();
    }
  }

  private void show(MonitorBridge from, String what, double fraction) {
    Running running = current;
    if (running != null && from.equals(running.monitor()) && !from.isCancelled()) {
      progress.set(Math.max(progress.get(), fraction));
      stage.set(what.substring(0, 1).toUpperCase(Locale.ROOT) + what.substring(1));
    }
  }

  /** Where a hand-over goes unless the person says otherwise. */
  private static final class Targets {
    private Targets() {}

    static Path beside(Path root, String name) {
      Path whole = root.toAbsolutePath().normalize();
      Path folder = Files.isDirectory(whole) ? whole.getParent() : grandparent(whole);
      return inside(folder == null ? whole : folder, name);
    }

    private static @Nullable Path grandparent(Path file) {
      Path parent = file.getParent();
      return parent == null || parent.getParent() == null ? parent : parent.getParent();
    }

    static Path inside(Path folder, String name) {
      return folder.resolve(name + "-handover");
    }
  }
}
