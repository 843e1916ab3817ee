package hardpan.desk.model;

import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import org.jspecify.annotations.Nullable;

/**
 * Has every decision kept at once, and the line-up follow it as soon as nothing more is decided.
 * One that cannot be kept to is taken back. Belongs to the window's thread.
 */
final class Following {
  private final DeskModel desk;
  private final Edits edits;
  private final WorkRunner runner;
  private final NoticeBoard board;
  private final HandingOver handingOver;
  private final DiskLook disk;
  private final DeskModel.Starter starter;
  private final DeskModel.Quiet quiet;

  /** Something was decided and more may follow at once. */
  private boolean unquiet;

  /** For one window. */
  Following(
      DeskModel desk,
      WorkRunner runner,
      NoticeBoard board,
      HandingOver handingOver,
      DiskLook disk,
      DeskModel.Starter starter,
      DeskModel.Quiet quiet) {
    this.desk = desk;
    this.edits = desk.edits();
    this.runner = runner;
    this.board = board;
    this.handingOver = handingOver;
    this.disk = disk;
    this.starter = starter;
    this.quiet = quiet;
    disk.goneProperty()
        .addListener(
            (property, before, now) -> {
              OpenShoot open = desk.openShoot();
              if (!now && open != null) {
                open.tryAgain();
                settle(open);
              }
            });
  }

  /** Something was decided about a shoot. */
  void decided(OpenShoot open, Wishes wishes) {
    if (open.decisions().decide(wishes)) {
      starter.start("hardpan-desk-keep", open.decisions()::keep);
    }
    unquiet = true;
    settle(open);
    quiet.after(
        () -> {
          unquiet = false;
          settle(desk.openShoot());
        });
  }

  /** Does what is to be done next, if anything is. */
  void settle(@Nullable OpenShoot open) {
    if (open == null || desk.shootProperty().get() == null) {
      return;
    }
    Wishes wishes = edits.wishesProperty().get();
    if (runner.isWorking()) {
      if (open.isTrying() && !open.isTried(wishes)) {
        open.setOutdated();
        runner.cancel();
      }
    } else if (!open.isSolvedFor(wishes) && !open.isTried(wishes)) {
      if (!unquiet) {
        lineUp(open);
      }
    } else if (handingOver.isWaiting()) {
      desk.handOver();
    } else {
      board.sayWhatWaits();
    }
  }

  /** Lines up with what is decided; nothing else may be going on. */
  void lineUp(OpenShoot open) {
    Wishes wishes = edits.wishesProperty().get();
    open.setTried(wishes);
    board.show(null);
    double from = open.needsReading(wishes) ? 0 : ShootSteps.READ;
    runner.run(
        new WorkRunner.Piece("hardpan-desk-line-up", from, ShootSteps.LINED_UP),
        monitor -> open.lineUp(wishes, monitor),
        shown -> {
          open.setSolvedFor(wishes);
          desk.show(shown);
        },
        (failure, sentence) -> {
          boolean outdated = open.endTry();
          if (!outdated) {
            handingOver.stopWaiting();
          }
          failed(failure, sentence, wishes, outdated);
        });
  }

  private void failed(
      WorkRunner.Failure failure, String sentence, Wishes wishes, boolean outdated) {
    Notice away = disk.words();
    if (failure == WorkRunner.Failure.REFUSED && away != null) {
      // The decision may well be possible, and is tried again when the sources are back.
      board.show(away);
    } else if (failure == WorkRunner.Failure.REFUSED) {
      edits.refuse(wishes);
      Notice refusal = new Notice(Mark.FAULT, sentence, null);
      OpenShoot open = desk.openShoot();
      if (open != null && !open.isSolvedFor(edits.wishesProperty().get())) {
        board.showAndAgain(refusal);
      } else {
        board.show(refusal);
      }
    } else if (failure == WorkRunner.Failure.BROKEN) {
      desk.failed(failure, sentence);
    } else if (!outdated) {
      board.show(new Notice(Mark.NOTE, Texts.of("line-up.older"), null, Notice.Action.LINE_UP));
    }
  }
}
