package hardpan.desk.model;

import hardpan.shoot.SavedShoots;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.Executor;
import javafx.beans.binding.StringBinding;
import javafx.beans.property.ReadOnlyBooleanProperty;
import javafx.beans.property.ReadOnlyDoubleProperty;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.ReadOnlyStringProperty;
import javafx.beans.property.SimpleObjectProperty;
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
  private final Dialogs dialogs;
  private final WorkRunner runner;

  private final ReadOnlyObjectWrapper<@Nullable ShownShoot> shoot = new ReadOnlyObjectWrapper<>();
  private final SimpleObjectProperty<@Nullable SourceRow> chosen = new SimpleObjectProperty<>();
  private final ReadOnlyObjectWrapper<List<SavedShoots.Recent>> recent =
      new ReadOnlyObjectWrapper<>(List.of());
  private final Cursor cursor = new Cursor();
  private final Edits edits = new Edits();
  private final LanesModel lanes = new LanesModel(shoot.getReadOnlyProperty(), edits);
  private final NoticeBoard board;
  private final HandingOver handingOver;
  private final DiskLook disk;
  private final Following following;

  /** The shoot that is worked on; null before the first. */
  private volatile @Nullable OpenShoot open;

  private boolean beginning;

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
    this.work = work;
    this.starter = starter;
    this.dialogs = dialogs;
    this.runner = new WorkRunner(starter, ui, System::nanoTime, this::settle);
    this.board = new NoticeBoard(runner::isWorking);
    this.handingOver = new HandingOver(this, work, runner, dialogs);
    this.disk = new DiskLook(starter, ui, this::openShoot, board);
    this.following = new Following(this, runner, board, handingOver, disk, starter, quiet);
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
    return board.noticeProperty();
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

  /** Whether the sources were found out of reach, so that nothing can be written or heard. */
  public ReadOnlyBooleanProperty goneProperty() {
    return disk.goneProperty();
  }

  /** The folder to hand over to, as typed. */
  public StringProperty targetProperty() {
    return handingOver.targetProperty();
  }

  /**
   * When the hand-over in the target's folder was written, in words; empty if there is none, or if
   * anything was decided, read or lined up since.
   */
  public StringBinding writtenWords() {
    return handingOver.writtenWords(shoot.getReadOnlyProperty(), edits.wishesProperty());
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
    board.show(null);
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
    board.forgetWaiting();
    disk.forget();
    handingOver.stopWaiting();
    beginning = true;
    chosen.set(null);
    edits.start(begun.wishes());
    beginning = false;
    cursor.secondsProperty().set(Double.NaN);
    shoot.set(begun.shown());
    recent.set(begun.recent());
    targetProperty().set(Targets.beside(next.roots().get(0), begun.shown().name()).toString());
    String trouble = begun.trouble();
    if (trouble != null) {
      board.show(new Notice(Mark.WARNING, trouble, null));
    }
    if (begun.wasKept()) {
      disk.compare(next);
    }
  }

  private void closeInBackground(@Nullable OpenShoot old) {
    if (old != null) {
      starter.start("hardpan-desk-close", old::close);
    }
  }

  /**
   * Looks whether the sources can still be reached, and tells if that has changed; to be called now
   * and then, and when something that needs them has failed. Does not wait for a slow drive.
   */
  public void lookAtSources() {
    disk.glance();
  }

  /** Why nothing can be heard or written, one sentence: the sources have gone out of reach. */
  public Optional<String> away() {
    return Optional.ofNullable(disk.words()).map(Notice::text);
  }

  /** Reads the sources of the shoot on show again, those that changed at least. */
  public void readAgain() {
    OpenShoot now = open;
    if (now == null || runner.isWorking()) {
      return;
    }
    Wishes wishes = edits.wishesProperty().get();
    board.show(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-read", 0, ShootSteps.LINED_UP),
        monitor -> now.read(wishes, monitor),
        shown -> {
          board.forgetWaiting();
          disk.forget();
          now.setSolvedFor(wishes);
          show(shown);
        },
        this::failed);
  }

  /** Shows the same shoot as it is now. */
  void show(ShownShoot shown) {
    SourceRow before = chosen.get();
    shoot.set(shown);
    chosen.set(again(shown, before));
  }

  private void decided(Wishes wishes) {
    OpenShoot now = open;
    if (now != null && !beginning) {
      following.decided(now, wishes);
    }
  }

  private void settle() {
    following.settle(open);
  }

  /** The shoot that is worked on; null before the first. */
  @Nullable OpenShoot openShoot() {
    return open;
  }

  /** Lines up with what is decided, after it was stopped. */
  public void lineUp() {
    OpenShoot now = open;
    if (now != null && !runner.isWorking()) {
      following.lineUp(now);
    }
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
      handingOver.chooseTarget(shown);
    }
  }

  /** Asks for a hand-over and compares it with its checksums; only reads. */
  public void checkHandOver() {
    if (!runner.isWorking()) {
      handingOver.chooseAndCheck();
    }
  }

  /**
   * Writes the hand-over to the target; asks first if an earlier one is there. Where the line-up
   * does not follow the last decision yet, it does so first.
   */
  public void handOver() {
    ShownShoot shown = shoot.get();
    OpenShoot now = open;
    if (shown == null || now == null || runner.isWorking()) {
      return;
    }
    lanes.takeTyped();
    Wishes wishes = edits.wishesProperty().get();
    if (disk.goneProperty().get()) {
      handingOver.stopWaiting();
      Notice away = disk.words();
      board.show(
          away != null
              ? away
              : new Notice(
                  Mark.WARNING, Texts.of("handover.gone"), null, Notice.Action.READ_AGAIN));
      return;
    }
    if (now.isTried(wishes)) {
      board.show(new Notice(Mark.WARNING, Texts.of("line-up.first"), null, Notice.Action.LINE_UP));
      return;
    }
    handingOver.begin(now, shown, wishes, now.isSolvedFor(wishes));
    if (handingOver.isWaiting()) {
      following.lineUp(now);
    }
  }

  private static @Nullable SourceRow again(ShownShoot shown, @Nullable SourceRow before) {
    Optional<SourceRow> same =
        before == null
            ? Optional.empty()
            : shown.rows().stream()
                .filter(row -> Objects.equals(row.path(), before.path()))
                .findFirst();
    return same.orElse(null);
  }

  /** Shows a message in place of what is on show; none for null. */
  void tell(@Nullable Notice words) {
    board.show(words);
  }

  /** Says that the sources cannot be reached. */
  void tellAway(List<Path> away) {
    disk.tellAway(away);
  }

  /** Says how work has failed. */
  void failed(WorkRunner.Failure failure, String sentence) {
    Mark mark = failure == WorkRunner.Failure.CANCELLED ? Mark.NOTE : Mark.FAULT;
    board.show(new Notice(mark, sentence, null));
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
