package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.HandOverCheck;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executor;
import javafx.beans.property.ReadOnlyBooleanProperty;
import javafx.beans.property.ReadOnlyBooleanWrapper;
import javafx.beans.property.ReadOnlyDoubleProperty;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.ReadOnlyStringProperty;
import javafx.beans.property.SimpleObjectProperty;
import javafx.beans.property.SimpleStringProperty;
import javafx.beans.property.StringProperty;
import org.jspecify.annotations.Nullable;

/**
 * What the window knows and can do. All methods and properties belong to one thread, the window's;
 * long work runs on a thread of its own and comes back through the given executor. One piece of
 * work at a time; decisions are possible meanwhile and are taken up when it has ended.
 */
public final class DeskModel {
  private final ShootWork work;
  private final Starter starter;
  private final Executor ui;
  private final Dialogs dialogs;
  private final WorkRunner runner;
  private final Quiet quiet;

  private final ReadOnlyObjectWrapper<@Nullable ShownShoot> shoot = new ReadOnlyObjectWrapper<>();
  private final SimpleObjectProperty<@Nullable SourceRow> chosen = new SimpleObjectProperty<>();
  private final ReadOnlyObjectWrapper<@Nullable Notice> notice = new ReadOnlyObjectWrapper<>();
  private final ReadOnlyObjectWrapper<List<SavedShoots.Recent>> recent =
      new ReadOnlyObjectWrapper<>(List.of());
  private final ReadOnlyBooleanWrapper gone = new ReadOnlyBooleanWrapper();
  private final StringProperty target = new SimpleStringProperty("");
  private final Cursor cursor = new Cursor();
  private final Edits edits = new Edits();
  private final LanesModel lanes = new LanesModel(shoot.getReadOnlyProperty(), edits);

  /** The shoot that is worked on; null before the first. */
  private volatile @Nullable OpenShoot open;

  private boolean beginning;

  /** Something was decided and more may follow at once. */
  private boolean unquiet;

  /** What was found out beside other work, to be said when that has ended. */
  private @Nullable Notice waiting;

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

  /** Waits for a moment in which nothing is decided. */
  @FunctionalInterface
  public interface Quiet {
    /** No waiting at all. */
    Quiet AT_ONCE = Runnable::run;

    /** Runs it on the window's thread after a while, and forgets what it was given before. */
    void after(Runnable next);
  }

  /**
   * For one window that takes up each decision at once.
   *
   * @param work the steps of the job
   * @param starter runs them
   * @param ui runs things on the window's thread
   * @param dialogs asks the person
   */
  public DeskModel(ShootWork work, Starter starter, Executor ui, Dialogs dialogs) {
    this(work, starter, ui, dialogs, Quiet.AT_ONCE);
  }

  /**
   * For one window.
   *
   * @param work the steps of the job
   * @param starter runs them
   * @param ui runs things on the window's thread
   * @param dialogs asks the person
   * @param quiet holds a line-up back while one decision follows the other
   */
  public DeskModel(ShootWork work, Starter starter, Executor ui, Dialogs dialogs, Quiet quiet) {
    this.quiet = quiet;
    this.work = work;
    this.starter = starter;
    this.ui = ui;
    this.dialogs = dialogs;
    this.runner = new WorkRunner(starter, ui, System::nanoTime, this::settle);
    edits.wishesProperty().addListener((property, before, now) -> decided(now));
    recent.set(work.recent());
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

  /** The shoots worked on last, the latest first. */
  public ReadOnlyObjectProperty<List<SavedShoots.Recent>> recentProperty() {
    return recent.getReadOnlyProperty();
  }

  /** Whether long work is going on. */
  public ReadOnlyBooleanProperty workingProperty() {
    return runner.workingProperty();
  }

  /** How far it is, 0 to 1. */
  public ReadOnlyDoubleProperty progressProperty() {
    return runner.progressProperty();
  }

  /** What it does now, with a capital. */
  public ReadOnlyStringProperty stageProperty() {
    return runner.stageProperty();
  }

  /** How long it will still take, in words; empty while nobody knows. */
  public ReadOnlyStringProperty timeLeftProperty() {
    return runner.timeLeftProperty();
  }

  /** Whether the folder of the sources was found missing, so that nothing can be written. */
  public ReadOnlyBooleanProperty goneProperty() {
    return gone.getReadOnlyProperty();
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

  /** The lanes that are going to be written. */
  public LanesModel lanes() {
    return lanes;
  }

  /** Asks for a folder and reads it. */
  public void chooseShoot() {
    if (!runner.isWorking()) {
      dialogs
          .chooseFolder(Texts.of("choose.shoot"), null)
          .ifPresent(folder -> open(List.of(folder)));
    }
  }

  /** Asks for a saved shoot and shows it. */
  public void chooseSavedShoot() {
    if (!runner.isWorking()) {
      dialogs.chooseSavedShoot(Texts.of("choose.saved")).ifPresent(file -> open(List.of(file)));
    }
  }

  /**
   * Shows a shoot in place of what is on show: at once as it was kept on an earlier day, else when
   * it has been read. Does nothing while work goes on.
   */
  public void open(List<Path> paths) {
    if (runner.isWorking() || paths.isEmpty()) {
      return;
    }
    List<Path> roots =
        paths.stream().map(path -> path.toAbsolutePath().normalize()).distinct().toList();
    OpenShoot now = open;
    if (now != null && now.isOf(roots)) {
      readAgain();
      return;
    }
    lanes.takeTyped();
    notice.set(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-read", 0, ShootSteps.LINED_UP),
        monitor -> OpenShoot.begin(work, roots, monitor),
        this::begun,
        this::failed);
  }

  private void begun(OpenShoot.Begun begun) {
    closeInBackground(open);
    OpenShoot next = begun.open();
    open = next;
    waiting = null;
    gone.set(false);
    beginning = true;
    chosen.set(null);
    edits.start(begun.wishes());
    beginning = false;
    cursor.secondsProperty().set(Double.NaN);
    shoot.set(begun.shown());
    recent.set(begun.recent());
    target.set(Targets.beside(next.roots().get(0), begun.shown().name()).toString());
    String trouble = begun.trouble();
    if (trouble != null) {
      notice.set(new Notice(Mark.WARNING, trouble, null));
    }
    if (begun.wasKept()) {
      lookForChanges(next);
    }
  }

  private void closeInBackground(@Nullable OpenShoot old) {
    if (old != null) {
      starter.start("hardpan-desk-close", old::close);
    }
  }

  /** Whether the sources are still the same: quietly, beside whatever else goes on. */
  private void lookForChanges(OpenShoot looked) {
    starter.start(
        "hardpan-desk-look",
        () -> {
          try {
            ShootSession.Changes changes = looked.changes();
            ui.execute(() -> told(looked, changes));
          } catch (ShootException e) {
            ui.execute(() -> told(looked, new Notice(Mark.WARNING, e.sentence(), null)));
          } catch (CancellationException e) {
            // Another shoot is on show by now.
          }
        });
  }

  private void told(OpenShoot looked, ShootSession.Changes changes) {
    if (looked.equals(open)) {
      gone.set(!changes.missingRoots().isEmpty());
    }
    if (!changes.isEmpty()) {
      told(looked, ChangeWords.of(changes));
    }
  }

  private void told(OpenShoot looked, Notice words) {
    if (looked.equals(open)) {
      waiting = words;
      sayWhatWaits();
    }
  }

  /** A message that is on show goes first. */
  private void sayWhatWaits() {
    if (waiting != null && notice.get() == null && !runner.isWorking()) {
      notice.set(waiting);
      waiting = null;
    }
  }

  /** Reads the sources of the shoot on show again, those that changed at least. */
  public void readAgain() {
    OpenShoot now = open;
    if (now == null || runner.isWorking()) {
      return;
    }
    Wishes wishes = edits.wishesProperty().get();
    notice.set(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-read", 0, ShootSteps.LINED_UP),
        monitor -> now.read(wishes, monitor),
        shown -> {
          waiting = null;
          gone.set(false);
          now.setSolvedFor(wishes);
          show(shown);
        },
        this::failed);
  }

  private void show(ShownShoot shown) {
    SourceRow before = chosen.get();
    shoot.set(shown);
    chosen.set(again(shown, before));
  }

  private void decided(Wishes wishes) {
    OpenShoot now = open;
    if (now != null && !beginning) {
      if (now.decisions().decide(wishes)) {
        starter.start("hardpan-desk-keep", now.decisions()::keep);
      }
      unquiet = true;
      settle();
      quiet.after(this::quietNow);
    }
  }

  private void quietNow() {
    unquiet = false;
    settle();
  }

  /** Has the line-up follow the decisions. */
  private void settle() {
    OpenShoot now = open;
    if (now == null || shoot.get() == null) {
      return;
    }
    Wishes wishes = edits.wishesProperty().get();
    if (runner.isWorking()) {
      if (now.isTrying() && !now.isTried(wishes)) {
        now.setOutdated();
        runner.cancel();
      }
    } else if (!now.isSolvedFor(wishes) && !now.isTried(wishes)) {
      if (!unquiet) {
        lineUp(now, wishes);
      }
    } else {
      sayWhatWaits();
    }
  }

  /** Lines up with what is decided, after it was stopped. */
  public void lineUp() {
    OpenShoot now = open;
    if (now != null && !runner.isWorking()) {
      lineUp(now, edits.wishesProperty().get());
    }
  }

  private void lineUp(OpenShoot now, Wishes wishes) {
    now.setTried(wishes);
    notice.set(null);
    double from = now.needsReading(wishes) ? 0 : ShootSteps.READ;
    runner.run(
        new WorkRunner.Piece("hardpan-desk-line-up", from, ShootSteps.LINED_UP),
        monitor -> now.lineUp(wishes, monitor),
        shown -> {
          now.setSolvedFor(wishes);
          show(shown);
        },
        (failure, sentence) -> {
          boolean outdated = now.endTry();
          if (failure == WorkRunner.Failure.REFUSED) {
            edits.refuse(wishes);
            Notice refusal = new Notice(Mark.FAULT, sentence, null);
            if (!now.isSolvedFor(edits.wishesProperty().get()) && waiting == null) {
              // The line-up that follows wipes the message away; it comes again after it.
              waiting = refusal;
            }
            notice.set(refusal);
          } else if (failure == WorkRunner.Failure.BROKEN) {
            failed(failure, sentence);
          } else if (!outdated) {
            notice.set(
                new Notice(Mark.NOTE, Texts.of("line-up.older"), null, Notice.Action.LINE_UP));
          }
        });
  }

  /** Does what a message offers. */
  public void act(Notice.Action action) {
    switch (action) {
      case READ_AGAIN -> readAgain();
      case LINE_UP -> lineUp();
    }
  }

  /** Takes a shoot off the list of those worked on last; what is kept of it stays. */
  public void forget(SavedShoots.Recent shootToForget) {
    work.forget(shootToForget);
    recent.set(work.recent());
  }

  /** Asks for the folder in which the hand-over's folder is to be made. */
  public void chooseTarget() {
    ShownShoot shown = shoot.get();
    if (shown != null && !runner.isWorking()) {
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

  /** Asks for a hand-over and compares it with its checksums; only reads. */
  public void checkHandOver() {
    if (!runner.isWorking()) {
      dialogs.chooseFolder(Texts.of("choose.check"), typedTarget()).ifPresent(this::check);
    }
  }

  private void check(Path folder) {
    notice.set(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-verify", 0, 1),
        monitor -> HandOverCheck.run(folder, List.of(), monitor),
        result -> notice.set(CheckWords.of(folder, result)),
        this::failed);
  }

  /** Writes the hand-over to the target; asks first if an earlier one is there. */
  public void handOver() {
    ShownShoot shown = shoot.get();
    OpenShoot now = open;
    if (shown == null || now == null || runner.isWorking()) {
      return;
    }
    lanes.takeTyped();
    Wishes wishes = edits.wishesProperty().get();
    if (gone.get()) {
      notice.set(
          new Notice(Mark.WARNING, Texts.of("handover.gone"), null, Notice.Action.READ_AGAIN));
      return;
    }
    if (!now.isSolvedFor(wishes)) {
      notice.set(new Notice(Mark.WARNING, Texts.of("line-up.first"), null, Notice.Action.LINE_UP));
      return;
    }
    Path folder = typedTarget();
    if (folder == null) {
      notice.set(new Notice(Mark.FAULT, Texts.of("target.none"), null));
      return;
    }
    notice.set(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-check", 0, 1),
        monitor -> work.wouldReplace(shown.shoot(), folder),
        replace -> {
          boolean goAhead =
              !replace
                  || dialogs.confirm(
                      Texts.of("replace.question", folder),
                      Texts.of("replace.yes"),
                      Texts.of("replace.no"));
          if (goAhead) {
            write(shown, folder, replace, wishes);
          }
        },
        this::failed);
  }

  private void write(ShownShoot shown, Path folder, boolean replace, Wishes wishes) {
    runner.run(
        new WorkRunner.Piece("hardpan-desk-hand-over", ShootSteps.LINED_UP, 1),
        monitor -> written(shown, folder, replace, wishes, monitor),
        written -> {
          show(written.shown());
          Path page = folder.resolve("report.html");
          String remark = written.remark() == null ? "" : " " + written.remark();
          notice.set(
              new Notice(
                  Mark.DONE, Texts.count("done", written.lanes()) + " " + page + remark, page));
        },
        this::failed);
  }

  private Written written(
      ShownShoot shown, Path folder, boolean replace, Wishes wishes, Monitor monitor)
      throws ShootException {
    ShootWork.Outcome outcome = work.handOver(shown.shoot(), folder, replace, wishes, monitor);
    return new Written(
        new ShownShoot(outcome.shoot(), outcome.report()),
        outcome.report().trackCount(),
        outcome.remark());
  }

  private record Written(ShownShoot shown, int lanes, @Nullable String remark) {}

  private static @Nullable SourceRow again(ShownShoot shown, @Nullable SourceRow before) {
    Optional<SourceRow> same =
        before == null
            ? Optional.empty()
            : shown.rows().stream()
                .filter(row -> Objects.equals(row.path(), before.path()))
                .findFirst();
    return same.orElse(null);
  }

  private void failed(WorkRunner.Failure failure, String sentence) {
    Mark mark = failure == WorkRunner.Failure.CANCELLED ? Mark.NOTE : Mark.FAULT;
    notice.set(new Notice(mark, sentence, null));
  }

  /** Asks the running work to stop; it says so when it has. */
  public void cancel() {
    runner.cancel();
  }

  /**
   * The person wants to close the window. While work goes on it asks, and closes only when the work
   * has cleaned up after itself.
   *
   * @param close closes it
   */
  public void close(Runnable close) {
    lanes.takeTyped();
    if (!runner.isWorking()) {
      close.run();
    } else if (runner.isClosing()
        || dialogs.confirm(
            Texts.of("close.question"), Texts.of("close.yes"), Texts.of("close.no"))) {
      // The work may have ended while the question was open.
      runner.stopThen(close);
    }
  }

  /**
   * Stops the work, waits until it has cleaned up after itself, or for a while at most, and keeps
   * what is decided; for when the window is gone or the process is told to end. Unlike the rest it
   * may be called from any thread, and does not need the window's.
   *
   * @return whether nothing runs any more
   */
  public boolean stopForGood() {
    boolean still = runner.stopForGood();
    OpenShoot now = open;
    if (still && now != null) {
      now.close();
    }
    return still;
  }
}
