package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lanes.LaneChoices;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.CountDownLatch;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DeskModelTest {
  private final FakeWork work = new FakeWork();
  private final FakeDialogs dialogs = new FakeDialogs();
  private final Queue<Runnable> started = new ArrayDeque<>();
  private final List<String> threads = new ArrayList<>();
  private final DeskModel model =
      new DeskModel(
          work,
          (name, run) -> {
            threads.add(name);
            started.add(run);
          },
          Runnable::run,
          dialogs);

  /** Plays the working thread until there is nothing left to do. */
  private void work() {
    while (!started.isEmpty()) {
      started.remove().run();
    }
  }

  private Notice notice() {
    Notice notice = model.noticeProperty().get();
    assertNotNull(notice);
    return notice;
  }

  private void load() {
    model.open(List.of(Path.of("brandal")));
    work();
  }

  @Test
  void openingReadsOnAThreadOfItsOwnAndShowsTheShoot(@TempDir Path folder) throws IOException {
    model.open(List.of(Files.createDirectory(folder.resolve("brandal"))));
    assertTrue(model.workingProperty().get());
    assertNull(model.shootProperty().get());
    assertEquals(List.of("hardpan-desk-read"), threads);
    work();
    assertFalse(model.workingProperty().get());
    assertEquals(6, model.shootProperty().get().rows().size());
    assertEquals(folder.resolve("brandal-handover").toString(), model.targetProperty().get());
    assertNull(model.noticeProperty().get());
  }

  @Test
  void progressOfReadingFillsTheWholeBar() {
    work.meanwhile =
        monitor -> {
          monitor.progress("lining up", 0.4);
          assertEquals(0.5, model.progressProperty().get(), 1e-9);
          assertEquals("Lining up", model.stageProperty().get());
          monitor.progress("reading", 0.2);
          assertEquals(0.5, model.progressProperty().get(), 1e-9);
        };
    load();
    assertNotNull(model.shootProperty().get());
  }

  @Test
  void whileWorkGoesOnNothingElseIsStarted() {
    model.open(List.of(Path.of("one")));
    model.open(List.of(Path.of("two")));
    model.chooseShoot();
    model.handOver();
    assertEquals(1, started.size());
    assertTrue(dialogs.asked.isEmpty());
  }

  @Test
  void choosingAFolderOpensItAndThinkingBetterDoesNothing() {
    model.chooseShoot();
    assertTrue(started.isEmpty());
    dialogs.folder = Path.of("brandal");
    model.chooseShoot();
    work();
    assertNotNull(model.shootProperty().get());
  }

  @Test
  void aFailureIsSaidInItsOwnWordsAndWhatWasOnShowStays() {
    load();
    work.failure = new ShootException(ShootException.Reason.NOTHING_DONE, "No clips were found.");
    model.open(List.of(Path.of("empty")));
    work();
    assertEquals("No clips were found.", notice().text());
    assertEquals(Mark.FAULT, notice().mark());
    assertNotNull(model.shootProperty().get());
    assertFalse(model.workingProperty().get());
  }

  @Test
  void aFaultOfOursIsCalledThat() {
    work.meanwhile =
        monitor -> {
          throw new IllegalStateException("boom");
        };
    load();
    assertTrue(notice().text().startsWith("A fault in the program itself"), notice().text());
    assertFalse(model.workingProperty().get());
  }

  @Test
  void cancellingStopsAndSaysSo() {
    work.meanwhile =
        monitor -> {
          model.cancel();
          assertEquals("Stopping", model.stageProperty().get());
          monitor.progress("reading", 0.1);
          assertEquals("Stopping", model.stageProperty().get());
          monitor.checkCancelled();
        };
    load();
    assertEquals("Stopped; no unfinished hand-over was left.", notice().text());
    assertNull(model.shootProperty().get());
  }

  @Test
  void handingOverWritesToTheTargetAndNamesThePage() {
    load();
    SourceRow chosen = model.shootProperty().get().rows().get(2);
    model.chosenProperty().set(chosen);
    Path target = Path.of("out").toAbsolutePath();
    model.targetProperty().set(" " + target + " ");
    model.handOver();
    work();
    assertEquals(List.of(target + " false"), work.written);
    assertEquals(target.resolve("report.html"), notice().page());
    assertEquals(
        "Handed over 2 lanes. The report is " + target.resolve("report.html"), notice().text());
    assertEquals(chosen, model.chosenProperty().get());
    assertTrue(dialogs.asked.isEmpty());
  }

  @Test
  void anEarlierHandOverIsReplacedOnlyIfThePersonSaysSo() {
    load();
    work.replaces = true;
    model.handOver();
    work();
    assertEquals(1, dialogs.asked.size());
    assertTrue(work.written.isEmpty());
    assertFalse(model.workingProperty().get());
    dialogs.yes = true;
    model.handOver();
    work();
    assertTrue(work.written.get(0).endsWith(" true"), work.written.toString());
  }

  @Test
  void aTargetInTheWayIsRefusedBeforeAnyWork() {
    load();
    work.failure = new ShootException(ShootException.Reason.REQUEST, "It is left alone.");
    model.handOver();
    work();
    assertEquals("It is left alone.", notice().text());
    assertTrue(work.written.isEmpty());
  }

  @Test
  void anEmptyOrImpossibleTargetIsRefused() {
    load();
    for (String nothing : List.of("  ", "a\0b")) {
      model.targetProperty().set(nothing);
      model.handOver();
      assertTrue(started.isEmpty());
      assertEquals(Texts.of("target.none"), notice().text());
    }
  }

  @Test
  void choosingAPlaceMakesAFolderOfItsOwnThere() {
    load();
    dialogs.folder = Path.of("/media/disk");
    model.chooseTarget();
    assertEquals(Path.of("/media/disk/brandal-handover"), Path.of(model.targetProperty().get()));
  }

  @Test
  void closingAtRestClosesAtOnce() {
    int[] closed = {0};
    model.close(() -> closed[0]++);
    assertEquals(1, closed[0]);
    assertTrue(dialogs.asked.isEmpty());
  }

  @Test
  void closingDuringWorkAsksAndWaitsForTheWorkToCleanUp() {
    int[] closed = {0};
    work.meanwhile = Monitor::checkCancelled;
    model.open(List.of(Path.of("brandal")));
    model.close(() -> closed[0]++);
    assertEquals(0, closed[0]);
    assertEquals(1, dialogs.asked.size());
    assertFalse(work.sawCancel);
    dialogs.yes = true;
    model.close(() -> closed[0]++);
    assertEquals(0, closed[0]);
    work();
    assertEquals(1, closed[0]);
    assertTrue(work.sawCancel);
  }

  @Test
  void anEndingProcessWaitsForTheWorkToCleanUp() throws Exception {
    assertTrue(model.stopForGood());
    CountDownLatch begun = new CountDownLatch(1);
    work.meanwhile =
        monitor -> {
          begun.countDown();
          while (!monitor.isCancelled()) {
            Thread.onSpinWait();
          }
          monitor.checkCancelled();
        };
    model.open(List.of(Path.of("brandal")));
    Thread thread = new Thread(this::work, "test-work");
    thread.start();
    begun.await();
    assertTrue(model.stopForGood());
    thread.join();
    assertEquals("Stopped; no unfinished hand-over was left.", notice().text());
  }

  private static Wishes pinned(double seconds) {
    return Wishes.NONE.withPin(new Wishes.Pin("CAM-A/one.mov", seconds));
  }

  @Test
  void aDecisionIsKeptAtOnceAndLinesUpAnew() {
    load();
    work.log.clear();
    model.edits().change(pinned(4), "place of one.mov");
    assertTrue(model.workingProperty().get());
    work();
    assertEquals(List.of("keep 1", "line up 1"), work.log);
    assertFalse(model.workingProperty().get());
    model.edits().undo();
    work();
    assertEquals(List.of("keep 1", "line up 1", "keep 0", "line up 0"), work.log);
    assertEquals("place of one.mov", model.edits().redoWordsProperty().get());
  }

  @Test
  void aLineUpWaitsUntilNoMoreIsDecided() {
    List<Runnable> waits = new ArrayList<>();
    DeskModel slow =
        new DeskModel(work, (name, run) -> started.add(run), Runnable::run, dialogs, waits::add);
    slow.open(List.of(Path.of("brandal")));
    work();
    work.log.clear();
    slow.edits().change(pinned(4), "a place");
    slow.edits().change(pinned(5), "a place");
    slow.edits().change(pinned(6), "a place");
    assertEquals(1, started.size());
    assertFalse(slow.workingProperty().get());
    waits.get(waits.size() - 1).run();
    work();
    assertEquals(List.of("keep 1", "line up 1"), work.log);
  }

  @Test
  void whatIsStillTypedIsTakenBeforeTheHandOver() {
    load();
    List<Integer> writtenBefore = new ArrayList<>();
    LaneChoices typed = LaneChoices.NONE.with(LaneChoices.Channel.named("CAM-A", 0, "Pulpit"));
    model
        .lanes()
        .beforeLeaving(
            () -> {
              writtenBefore.add(work.written.size());
              model.edits().change(Wishes.NONE.withLanes(typed), "lane name Pulpit");
            });
    model.handOver();
    work();
    assertEquals(1, work.written.size());
    assertEquals(0, writtenBefore.get(0));
    assertEquals("lane name Pulpit", model.edits().undoWordsProperty().get());
  }

  @Test
  void aDecisionAboutLanesAloneDoesNotLineUp() {
    load();
    work.log.clear();
    LaneChoices lanes = LaneChoices.NONE.with(LaneChoices.Channel.named("CAM-A", 0, "Anna"));
    model.edits().change(Wishes.NONE.withLanes(lanes), "lane name Anna");
    assertFalse(model.workingProperty().get());
    work();
    assertEquals(List.of("keep 0"), work.log);
  }

  @Test
  void aSecondDecisionStopsTheLineUpOfTheFirst() {
    load();
    work.log.clear();
    work.meanwhile =
        monitor -> {
          work.meanwhile = Monitor::checkCancelled;
          model.edits().change(pinned(5), "another place");
          monitor.checkCancelled();
        };
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals(List.of("keep 1", "line up 1", "keep 1", "line up 1"), work.log);
    assertNull(model.noticeProperty().get());
    work.log.clear();
    model.lineUp();
    work();
    assertEquals(List.of("line up 1"), work.log);
  }

  @Test
  void takingADecisionBackWhileItIsLinedUpLeavesThePictureAsItWas() {
    load();
    work.log.clear();
    work.meanwhile =
        monitor -> {
          model.edits().undo();
          monitor.checkCancelled();
        };
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals(List.of("keep 1", "line up 1", "keep 0"), work.log);
    assertNull(model.noticeProperty().get());
    assertFalse(model.workingProperty().get());
  }

  @Test
  void aStoppedLineUpIsSaidAndMustBeMadeBeforeTheHandOver() {
    load();
    work.meanwhile =
        monitor -> {
          model.cancel();
          monitor.checkCancelled();
        };
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals(Notice.Action.LINE_UP, notice().action());
    assertEquals(Texts.of("line-up.older"), notice().text());
    model.handOver();
    assertTrue(started.isEmpty());
    assertEquals(Texts.of("line-up.first"), notice().text());
    work.meanwhile = monitor -> {};
    model.act(Notice.Action.LINE_UP);
    work();
    model.handOver();
    work();
    assertEquals(1, work.written.size());
  }

  @Test
  void aDecisionThatCannotBeKeptToIsTakenBackWithTheReason() {
    load();
    work.failure = new ShootException(ShootException.Reason.REQUEST, "It is the reference.");
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals("It is the reference.", notice().text());
    assertEquals(Wishes.NONE, model.edits().wishesProperty().get());
    assertNull(model.edits().undoWordsProperty().get());
    assertNull(model.edits().redoWordsProperty().get());
    assertEquals("keep 0", work.log.get(work.log.size() - 1));
  }

  @Test
  void ofSeveralMovesOnlyTheRefusedOneIsTakenBackAndTheReasonStays() {
    List<Runnable> waits = new ArrayList<>();
    DeskModel slow =
        new DeskModel(work, (name, run) -> started.add(run), Runnable::run, dialogs, waits::add);
    slow.open(List.of(Path.of("brandal")));
    work();
    work.log.clear();
    slow.edits().move(pinned(4), "to 4", "CAM-A/one.mov");
    slow.edits().move(pinned(5), "to 5", "CAM-A/one.mov");
    work.failure = new ShootException(ShootException.Reason.REQUEST, "It cannot lie there.");
    waits.get(waits.size() - 1).run();
    work();
    assertEquals(pinned(4), slow.edits().wishesProperty().get());
    assertEquals("to 4", slow.edits().undoWordsProperty().get());
    work.failure = null;
    waits.get(waits.size() - 1).run();
    work();
    assertEquals("It cannot lie there.", slow.noticeProperty().get().text());
    assertEquals("line up 1", work.log.get(work.log.size() - 1));
    slow.edits().undo();
    assertEquals(Wishes.NONE, slow.edits().wishesProperty().get());
  }

  @Test
  void aDecisionDuringAHandOverWaitsForItsEnd() {
    load();
    work.log.clear();
    model.handOver();
    started.remove().run();
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals(1, work.written.size());
    assertEquals(List.of("keep 1", "line up 1"), work.log);
  }

  @Test
  void aKeptShootIsShownWithoutReadingAndLookedAtAfterwards() {
    work.keeps = true;
    work.changes =
        new ShootSession.Changes(
            List.of(), List.of("CAM-A/new.mov"), List.of(), List.of("CAM-B/hot.mp4"));
    model.open(List.of(Path.of("brandal")));
    started.remove().run();
    assertNotNull(model.shootProperty().get());
    assertFalse(model.workingProperty().get());
    assertNull(model.noticeProperty().get());
    work();
    assertEquals(List.of("open brandal"), work.log);
    assertEquals(
        "Since this was kept: 1 file is new (CAM-A/new.mov). 1 file is gone (CAM-B/hot.mp4).",
        notice().text());
    model.act(Notice.Action.READ_AGAIN);
    work();
    assertEquals(List.of("open brandal", "read"), work.log);
    assertNull(model.noticeProperty().get());
  }

  @Test
  void aMissingFolderIsSaid() {
    work.keeps = true;
    work.changes =
        new ShootSession.Changes(List.of(Path.of("/media/card")), List.of(), List.of(), List.of());
    load();
    assertTrue(notice().text().startsWith("The folder is not connected: "), notice().text());
    assertNotNull(model.shootProperty().get());
    assertTrue(model.goneProperty().get());
    model.handOver();
    assertTrue(started.isEmpty());
    assertEquals(Texts.of("handover.gone"), notice().text());
    model.readAgain();
    work();
    assertFalse(model.goneProperty().get());
  }

  @Test
  void whatIsFoundOutDuringWorkIsSaidAfterIt() {
    work.keeps = true;
    work.decidedBefore = pinned(4);
    work.changes =
        new ShootSession.Changes(List.of(), List.of("CAM-A/new.mov"), List.of(), List.of());
    work.meanwhile =
        monitor -> {
          while (!started.isEmpty()) {
            started.remove().run();
          }
          assertNull(model.noticeProperty().get());
        };
    load();
    assertTrue(notice().text().contains("CAM-A/new.mov"), notice().text());
  }

  @Test
  void decisionsThatWereKeptButNotLinedUpAreTakenUp() {
    work.keeps = true;
    work.decidedBefore = pinned(4);
    load();
    assertEquals(List.of("open brandal", "line up 1"), work.log);
    assertEquals(pinned(4), model.edits().wishesProperty().get());
    assertNull(model.edits().undoWordsProperty().get());
  }

  @Test
  void anotherShootEndsTheFirstAndTheSameOneIsReadAgain() {
    load();
    model.open(List.of(Path.of("fair")));
    work();
    assertEquals(List.of("open brandal", "read", "open fair", "read", "close"), work.log);
    work.log.clear();
    model.open(List.of(Path.of("fair").toAbsolutePath()));
    work();
    assertEquals(List.of("read"), work.log);
    model.stopForGood();
    model.stopForGood();
    assertEquals(List.of("read", "close"), work.log);
  }

  @Test
  void aShootThatCannotBeReadIsNotKeptOpen() {
    work.failure = new ShootException(ShootException.Reason.NOTHING_DONE, "No clips were found.");
    load();
    assertEquals(List.of("open brandal", "read", "close"), work.log);
  }

  private static final Path CARD = Path.of("/media/card");
  private static final String AWAY =
      "The sources in "
          + CARD
          + " cannot be reached any more: plug their drive in again."
          + " What is shown stays.";

  @Test
  void aDriveThatIsPulledIsToldOnceAndForgottenWhenItIsBack() {
    load();
    model.lookAtSources();
    work();
    assertNull(model.noticeProperty().get());
    work.away = List.of(CARD);
    model.lookAtSources();
    model.lookAtSources();
    // A drive that does not answer is not asked a second time.
    assertEquals(1, started.size());
    work();
    assertEquals(AWAY, notice().text());
    assertEquals(Mark.WARNING, notice().mark());
    assertTrue(model.goneProperty().get());
    assertNotNull(model.shootProperty().get());
    model.handOver();
    assertTrue(started.isEmpty());
    assertEquals(AWAY, notice().text());
    work.away = List.of();
    work.changes =
        new ShootSession.Changes(List.of(), List.of(), List.of(), List.of("CAM-B/hot.mp4"));
    model.lookAtSources();
    started.remove().run();
    assertFalse(model.goneProperty().get());
    assertNull(model.noticeProperty().get());
    work();
    assertTrue(notice().text().contains("CAM-B/hot.mp4"), notice().text());
  }

  @Test
  void aDrivePulledRightBeforeTheHandOverIsToldInsteadOfWriting() {
    load();
    work.away = List.of(CARD);
    model.handOver();
    work();
    assertEquals(AWAY, notice().text());
    assertTrue(model.goneProperty().get());
    assertTrue(work.written.isEmpty());
    assertFalse(model.workingProperty().get());
  }

  @Test
  void aDrivePulledDuringTheHandOverIsTheReasonThatIsTold() {
    load();
    model.handOver();
    started.remove().run();
    work.failure = new ShootException(ShootException.Reason.NOTHING_DONE, "one.mov: input/output");
    work.away = List.of(CARD);
    work();
    assertEquals(AWAY, notice().text());
    assertTrue(work.written.isEmpty());
    work.away = List.of();
    model.lookAtSources();
    work();
    model.handOver();
    work();
    assertEquals("one.mov: input/output", notice().text());
  }

  @Test
  void aDecisionThatFailsForAPulledDriveStaysAndIsTakenUpWhenItIsBack() {
    load();
    work.away = List.of(CARD);
    model.lookAtSources();
    work();
    work.failure = new ShootException(ShootException.Reason.NOTHING_DONE, "Nothing is there.");
    model.edits().change(pinned(4), "a place");
    work();
    assertEquals(AWAY, notice().text());
    assertEquals(pinned(4), model.edits().wishesProperty().get());
    work.failure = null;
    work.away = List.of();
    work.log.clear();
    model.lookAtSources();
    work();
    assertEquals(List.of("line up 1"), work.log);
    assertNull(model.noticeProperty().get());
  }

  private DeskModel slow(List<Runnable> waits) {
    DeskModel slow =
        new DeskModel(work, (name, run) -> started.add(run), Runnable::run, dialogs, waits::add);
    slow.open(List.of(Path.of("brandal")));
    work();
    work.log.clear();
    return slow;
  }

  @Test
  void aHandOverAskedForBeforeTheLineUpHasBegunWaitsForIt() {
    List<Runnable> waits = new ArrayList<>();
    DeskModel slow = slow(waits);
    slow.edits().change(pinned(4), "a place");
    assertFalse(slow.workingProperty().get());
    slow.handOver();
    assertTrue(slow.workingProperty().get());
    assertTrue(work.written.isEmpty());
    work();
    assertEquals(List.of("keep 1", "line up 1"), work.log);
    assertEquals(1, work.written.size());
    assertTrue(slow.noticeProperty().get().text().startsWith("Handed over"));
    waits.forEach(Runnable::run);
    work();
    assertEquals(List.of("keep 1", "line up 1"), work.log);
    assertEquals(1, work.written.size());
  }

  @Test
  void aHandOverThatWaitsTakesALaterDecisionAlong() {
    List<Runnable> waits = new ArrayList<>();
    DeskModel slow = slow(waits);
    slow.edits().change(pinned(4), "a place");
    slow.handOver();
    slow.edits().change(pinned(5), "another place");
    work.meanwhile = Monitor::checkCancelled;
    while (!started.isEmpty()) {
      started.remove().run();
    }
    waits.get(waits.size() - 1).run();
    work();
    assertEquals(1, work.written.size());
    assertEquals("line up 1", work.log.get(work.log.size() - 1));
  }

  @Test
  void aHandOverThatWaitsIsDroppedWithALineUpThatIsStoppedOrRefused() {
    List<Runnable> waits = new ArrayList<>();
    DeskModel slow = slow(waits);
    work.meanwhile =
        monitor -> {
          slow.cancel();
          monitor.checkCancelled();
        };
    slow.edits().change(pinned(4), "a place");
    slow.handOver();
    work();
    assertEquals(Texts.of("line-up.older"), slow.noticeProperty().get().text());
    work.meanwhile = monitor -> {};
    slow.lineUp();
    work();
    assertTrue(work.written.isEmpty());
    work.failure = new ShootException(ShootException.Reason.REQUEST, "It is the reference.");
    slow.edits().change(pinned(6), "a place");
    slow.handOver();
    work();
    assertEquals("It is the reference.", slow.noticeProperty().get().text());
    work.failure = null;
    waits.forEach(Runnable::run);
    work();
    assertTrue(work.written.isEmpty());
  }

  /** What happens inside the work. */
  private interface Meanwhile {
    void run(Monitor monitor);
  }

  private static final class FakeWork extends StandInWork {
    private final List<String> written = new ArrayList<>();
    private final List<String> log = new ArrayList<>();
    private Meanwhile meanwhile = monitor -> {};
    private @Nullable ShootException failure;
    private ShootSession.Changes changes = ShootSession.Changes.NONE;
    private List<Path> away = List.of();
    private Wishes decidedBefore = Wishes.NONE;
    private Wishes linedUpBefore = Wishes.NONE;
    private boolean keeps;
    private boolean replaces;
    private boolean sawCancel;

    FakeWork() {
      super(new Outcome(SampleShoot.shoot(), SampleShoot.report(), null));
    }

    private void pass(Monitor monitor) throws ShootException {
      sawCancel = monitor.isCancelled();
      if (failure != null) {
        throw failure;
      }
      meanwhile.run(monitor);
    }

    @Override
    public Session open(List<Path> roots) {
      log.add("open " + roots.get(0).getFileName());
      return new FakeSession();
    }

    @Override
    public void forget(SavedShoots.Recent shoot) {
      log.add("forget " + shoot.name());
    }

    private final class FakeSession extends StandInWork {
      FakeSession() {
        super(new Outcome(SampleShoot.shoot(), SampleShoot.report(), null));
      }

      @Override
      public Optional<Outcome> kept() {
        return keeps
            ? Optional.of(new Outcome(SampleShoot.shoot(), SampleShoot.report(), null))
            : Optional.empty();
      }

      @Override
      public Wishes wishes() {
        return decidedBefore;
      }

      @Override
      public boolean isLinedUpFor(Wishes wishes) {
        return linedUpBefore.hasSameLineUp(wishes);
      }

      @Override
      public Outcome read(Wishes wishes, Monitor monitor) throws ShootException {
        log.add("read");
        pass(monitor);
        return super.read(wishes, monitor);
      }

      @Override
      public Outcome lineUp(Wishes wishes, Monitor monitor) throws ShootException {
        log.add("line up " + wishes.pins().size());
        pass(monitor);
        return super.lineUp(wishes, monitor);
      }

      @Override
      public ShootSession.Changes changes(Monitor monitor) {
        return changes;
      }

      @Override
      public List<Path> away() {
        return away;
      }

      @Override
      public void keep(Wishes wishes) {
        log.add("keep " + wishes.pins().size());
      }

      @Override
      public void close() {
        log.add("close");
      }
    }

    @Override
    public boolean wouldReplace(Shoot shoot, Path target) throws ShootException {
      pass(Monitor.SILENT);
      return replaces;
    }

    @Override
    public Outcome handOver(
        Shoot shoot, Path target, boolean replace, Wishes wishes, Monitor monitor)
        throws ShootException {
      pass(monitor);
      written.add(target + " " + replace);
      return new Outcome(shoot, SampleShoot.withLanes(2), null);
    }
  }
}
