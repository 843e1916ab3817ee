package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.HandOverCheck;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import javafx.beans.binding.Bindings;
import javafx.beans.binding.StringBinding;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.SimpleObjectProperty;
import javafx.beans.property.SimpleStringProperty;
import javafx.beans.property.StringProperty;
import org.jspecify.annotations.Nullable;

/**
 * Writes the hand-over of the shoot on show: looks whether it can go there, asks if an earlier one
 * is in the way, writes. Belongs to the window's thread.
 */
final class HandingOver {
  private static final DateTimeFormatter HOURS_AND_MINUTES = DateTimeFormatter.ofPattern("HH:mm");

  private final DeskModel desk;
  private final ShootWork work;
  private final WorkRunner runner;
  private final Dialogs dialogs;
  private final StringProperty target = new SimpleStringProperty("");

  /** What was written last; null before. */
  private final SimpleObjectProperty<@Nullable Done> done = new SimpleObjectProperty<>();

  /** It was asked for while the line-up did not follow the decisions yet. */
  private boolean waiting;

  /** For one window. */
  HandingOver(DeskModel desk, ShootWork work, WorkRunner runner, Dialogs dialogs) {
    this.desk = desk;
    this.work = work;
    this.runner = runner;
    this.dialogs = dialogs;
  }

  /**
   * A hand-over that was written.
   *
   * @param target the folder, as typed
   * @param wishes what was decided then
   * @param shown the shoot as it was then
   * @param at when it was done
   */
  record Done(String target, Wishes wishes, ShownShoot shown, LocalTime at) {}

  /**
   * When the hand-over in the target's folder was written, in words; empty if there is none, or if
   * anything is different since.
   *
   * @param shoot the shoot on show
   * @param wishes what is decided
   */
  StringBinding writtenWords(
      ReadOnlyObjectProperty<@Nullable ShownShoot> shoot, ReadOnlyObjectProperty<Wishes> wishes) {
    return Bindings.createStringBinding(
        () -> {
          Done last = done.get();
          boolean isSame =
              last != null
                  && last.shown() == shoot.get()
                  && last.wishes().equals(wishes.get())
                  && last.target().equals(target.get());
          return last != null && isSame
              ? Texts.of("handover.written", last.at().format(HOURS_AND_MINUTES))
              : "";
        },
        done,
        shoot,
        wishes,
        target);
  }

  /** The folder to write to, as typed. */
  StringProperty targetProperty() {
    return target;
  }

  /** Asks for the folder in which the hand-over's folder is to be made. */
  void chooseTarget(ShownShoot shown) {
    Path now = typedTarget();
    dialogs
        .chooseFolder(Texts.of("choose.target"), now == null ? null : now.getParent())
        .ifPresent(folder -> target.set(Targets.inside(folder, shown.name()).toString()));
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
  void chooseAndCheck() {
    dialogs.chooseFolder(Texts.of("choose.check"), typedTarget()).ifPresent(this::check);
  }

  private void check(Path folder) {
    desk.tell(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-verify", 0, 1),
        monitor -> HandOverCheck.run(folder, List.of(), monitor),
        result -> desk.tell(CheckWords.of(folder, result)),
        desk::failed);
  }

  /** Whether it goes on as soon as the line-up follows the decisions. */
  boolean isWaiting() {
    return waiting;
  }

  /** It is not wanted any more, if it waits. */
  void stopWaiting() {
    waiting = false;
  }

  /**
   * Begins, or waits until the line-up follows what is decided.
   *
   * @param linedUp whether it does
   */
  void begin(OpenShoot open, ShownShoot shown, Wishes wishes, boolean linedUp) {
    waiting = false;
    Path folder = typedTarget();
    if (folder == null) {
      desk.tell(new Notice(Mark.FAULT, Texts.of("target.none"), null));
      return;
    }
    if (!linedUp) {
      waiting = true;
      return;
    }
    desk.tell(null);
    runner.run(
        new WorkRunner.Piece("hardpan-desk-check", 0, 1),
        monitor -> checked(open, shown, folder),
        checked -> {
          if (!checked.away().isEmpty()) {
            desk.tellAway(checked.away());
          } else if (!checked.replaces() || mayReplace(folder)) {
            write(open, shown, folder, checked.replaces(), wishes);
          }
        },
        desk::failed);
  }

  /** What was found before anything is written. */
  private record Checked(List<Path> away, boolean replaces) {}

  private Checked checked(OpenShoot open, ShownShoot shown, Path folder) throws ShootException {
    List<Path> away = open.away();
    return new Checked(away, away.isEmpty() && work.wouldReplace(shown.shoot(), folder));
  }

  private boolean mayReplace(Path folder) {
    return dialogs.confirm(
        Texts.of("replace.question", folder), Texts.of("replace.yes"), Texts.of("replace.no"));
  }

  private void write(
      OpenShoot open, ShownShoot shown, Path folder, boolean replace, Wishes wishes) {
    String typed = target.get();
    String doubts = desk.lanes().doubts();
    runner.run(
        new WorkRunner.Piece("hardpan-desk-hand-over", ShootSteps.LINED_UP, 1),
        monitor -> written(open, shown, folder, replace, wishes, monitor),
        written -> {
          if (written.shown() == null) {
            desk.tellAway(written.away());
            return;
          }
          desk.show(written.shown());
          done.set(new Done(typed, wishes, written.shown(), LocalTime.now(ZoneId.systemDefault())));
          Path page = folder.resolve("report.html");
          String remark = written.remark() == null ? "" : " " + written.remark();
          String lanes =
              Texts.count("done", written.lanes())
                  + (doubts.isEmpty() ? "" : " " + Texts.of("done.doubts", doubts));
          desk.tell(
              new Notice(Mark.DONE, lanes + " " + Texts.of("done.report", page) + remark, page));
        },
        desk::failed);
  }

  private Written written(
      OpenShoot open,
      ShownShoot shown,
      Path folder,
      boolean replace,
      Wishes wishes,
      Monitor monitor)
      throws ShootException {
    try {
      ShootWork.Outcome outcome = work.handOver(shown.shoot(), folder, replace, wishes, monitor);
      return new Written(
          new ShownShoot(outcome.shoot(), outcome.report()),
          outcome.report().trackCount(),
          outcome.remark(),
          List.of());
    } catch (ShootException e) {
      List<Path> away = open.away();
      if (away.isEmpty()) {
        throw e;
      }
      // Whatever could not be read then, this is why.
      return new Written(null, 0, null, away);
    }
  }

  /** What was written; nothing is shown where the sources were out of reach. */
  private record Written(
      @Nullable ShownShoot shown, int lanes, @Nullable String remark, List<Path> away) {}
}
