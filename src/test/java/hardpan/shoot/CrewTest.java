package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.IntStream;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

@NullUnmarked
class CrewTest {
  private static final List<Integer> THINGS = IntStream.range(0, 200).boxed().toList();

  @Test
  void resultsKeepTheOrder() throws Exception {
    List<Integer> doubled =
        Crew.all(
            THINGS,
            "doubling",
            0,
            1,
            Monitor.SILENT,
            (thing, own) -> {
              long spin = new Random(thing).nextInt(20_000);
              long sum = 0;
              for (long i = 0; i < spin; i++) {
                sum += i % 7;
              }
              return sum < 0 ? -1 : 2 * thing;
            });
    assertEquals(THINGS.stream().map(thing -> 2 * thing).toList(), doubled);
    assertEquals(List.of(), Crew.all(List.of(), "", 0, 1, Monitor.SILENT, (thing, own) -> thing));
  }

  @Test
  void theFirstFailureIsPassedOnAndNothingRunsAfterwards() {
    AtomicInteger running = new AtomicInteger();
    AtomicInteger begun = new AtomicInteger();
    IOException failure = new IOException("the disk is full");
    IOException passed =
        assertThrows(
            IOException.class,
            () ->
                Crew.all(
                    THINGS,
                    "failing",
                    0,
                    1,
                    Monitor.SILENT,
                    (thing, own) -> {
                      begun.incrementAndGet();
                      running.incrementAndGet();
                      try {
                        if (thing == 3) {
                          throw failure;
                        }
                        return thing;
                      } finally {
                        running.decrementAndGet();
                      }
                    }));
    assertSame(failure, passed);
    assertEquals(0, running.get());
    assertTrue(begun.get() < THINGS.size(), "steps begun after the failure: " + begun);
  }

  @Test
  void anErrorWaitsForTheOthersToo() throws Exception {
    AtomicBoolean otherEnded = new AtomicBoolean();
    CountDownLatch otherBegan = new CountDownLatch(1);
    CountDownLatch errorThrown = new CountDownLatch(1);
    Thread releases =
        new Thread(
            () -> {
              try {
                otherBegan.await();
                // Enough for a caller that does not wait to get ahead.
                TimeUnit.MILLISECONDS.sleep(200);
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
              errorThrown.countDown();
            },
            "test-releases");
    releases.start();
    AssertionError passed =
        assertThrows(
            AssertionError.class,
            () ->
                Crew.all(
                    List.of(0, 1),
                    "",
                    0,
                    1,
                    Monitor.SILENT,
                    (thing, own) -> {
                      if (thing == 0) {
                        if (Runtime.getRuntime().availableProcessors() > 1) {
                          assertTrue(otherBegan.await(10, TimeUnit.SECONDS));
                        }
                        throw new AssertionError("broken");
                      }
                      otherBegan.countDown();
                      assertTrue(errorThrown.await(10, TimeUnit.SECONDS));
                      otherEnded.set(true);
                      return thing;
                    }));
    otherBegan.countDown();
    releases.join();
    assertEquals("broken", passed.getMessage());
    assertTrue(otherEnded.get() || Runtime.getRuntime().availableProcessors() == 1);
  }

  @Test
  void aCancelledCrewLeavesNoRunningStep() {
    AtomicInteger running = new AtomicInteger();
    AtomicInteger begun = new AtomicInteger();
    AtomicBoolean cancelled = new AtomicBoolean();
    Monitor monitor = monitor(cancelled, Collections.synchronizedList(new ArrayList<>()));
    assertThrows(
        CancellationException.class,
        () ->
            Crew.all(
                THINGS,
                "",
                0,
                1,
                monitor,
                (thing, own) -> {
                  running.incrementAndGet();
                  try {
                    if (begun.incrementAndGet() == 10) {
                      cancelled.set(true);
                    }
                    own.checkCancelled();
                    return thing;
                  } finally {
                    running.decrementAndGet();
                  }
                }));
    assertEquals(0, running.get());
    assertTrue(begun.get() <= 10 + Runtime.getRuntime().availableProcessors(), "begun " + begun);
  }

  @Test
  void aFailureCountsMoreThanACancel() {
    AtomicBoolean cancelled = new AtomicBoolean();
    assertThrows(
        IOException.class,
        () ->
            Crew.all(
                List.of(0),
                "",
                0,
                1,
                monitor(cancelled, new ArrayList<>()),
                (thing, own) -> {
                  cancelled.set(true);
                  throw new IOException("broken");
                }));
  }

  @Test
  void anInterruptedCallerStillWaitsAndStaysInterrupted() {
    AtomicInteger ended = new AtomicInteger();
    Thread.currentThread().interrupt();
    assertThrows(
        CancellationException.class,
        () -> Crew.all(THINGS, "", 0, 1, Monitor.SILENT, (thing, own) -> ended.addAndGet(1000)));
    assertTrue(Thread.interrupted());
    assertTrue(ended.get() < 1000 * THINGS.size());
  }

  /** The monitor takes the share of the whole job; a step tells only its own. */
  @Test
  void progressIsThatOfTheWholeJob() throws Exception {
    List<Double> shares = Collections.synchronizedList(new ArrayList<>());
    Crew.all(
        List.of(0, 1, 2, 3),
        "reading",
        0.2,
        0.6,
        monitor(new AtomicBoolean(), shares),
        (thing, own) -> {
          own.progress("inner", 0.5);
          own.progress("inner", 1);
          own.progress("inner", 7);
          return thing;
        });
    assertEquals(0.2, shares.get(0), 1e-12);
    assertEquals(0.6, shares.get(shares.size() - 1), 1e-12);
    assertEquals(0.25, shares.get(1), 1e-12);
    for (int i = 1; i < shares.size(); i++) {
      assertTrue(shares.get(i) >= shares.get(i - 1), "back at " + i + ": " + shares);
    }
  }

  private static Monitor monitor(AtomicBoolean cancelled, List<Double> shares) {
    return new Monitor() {
      @Override
      public void progress(String stage, double fraction) {
        shares.add(fraction);
      }

      @Override
      public boolean isCancelled() {
        return cancelled.get();
      }
    };
  }
}
