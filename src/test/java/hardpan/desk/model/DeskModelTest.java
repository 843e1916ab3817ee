package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
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
    assertEquals("Stopped; nothing was left half-done.", notice().text());
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
    assertEquals("Stopped; nothing was left half-done.", notice().text());
  }

  /** What happens inside the work. */
  private interface Meanwhile {
    void run(Monitor monitor);
  }

  private static final class FakeWork implements ShootWork {
    private final List<String> written = new ArrayList<>();
    private Meanwhile meanwhile = monitor -> {};
    private @Nullable ShootException failure;
    private boolean replaces;
    private boolean sawCancel;

    private void pass(Monitor monitor) throws ShootException {
      sawCancel = monitor.isCancelled();
      if (failure != null) {
        throw failure;
      }
      meanwhile.run(monitor);
    }

    @Override
    public Outcome read(List<Path> roots, Monitor monitor) throws ShootException {
      pass(monitor);
      return new Outcome(SampleShoot.shoot(), SampleShoot.report(), null);
    }

    @Override
    public boolean wouldReplace(Shoot shoot, Path target) throws ShootException {
      pass(Monitor.SILENT);
      return replaces;
    }

    @Override
    public Outcome handOver(Shoot shoot, Path target, boolean replace, Monitor monitor)
        throws ShootException {
      pass(monitor);
      written.add(target + " " + replace);
      return new Outcome(shoot, SampleShoot.withLanes(2), null);
    }
  }
}
