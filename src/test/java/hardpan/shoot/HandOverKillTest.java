package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import hardpan.base.Monitor;
import hardpan.lanes.DriftCorrection;
import hardpan.media.ReaderChoice;
import hardpan.wave.WaveFormat;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.CancellationException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process that is killed leaves nothing under the final name, and the next one goes on. */
@NullUnmarked
class HandOverKillTest {
  /** More with {@code -Dhardpan.kills=100}. */
  private static final int KILLS = Integer.getInteger("hardpan.kills", 4);

  private static final FileTime LONG_AGO = FileTime.fromMillis(978_307_200_000L);

  @TempDir Path folder;
  private Path shootFolder;
  private Path target;
  private int wroteForMs;

  @BeforeEach
  void makeShoot() throws Exception {
    shootFolder = folder.resolve("shoot");
    for (int i = 0; i < 6; i++) {
      ShootSamples.wave(
          shootFolder.resolve("REC/r" + i + ".wav"),
          WaveFormat.integer(24, 48_000, 2),
          ShootSamples.speech(i, 48_000, 4),
          ShootSamples.speech(10 + i, 48_000, 4));
    }
    target = folder.resolve("parent/out");
  }

  /** Killed at random moments, again and again; then one run is left alone. */
  @Test
  void killedAtAnyMomentAndContinued() throws Exception {
    long seed = Long.getLong("hardpan.seed", System.nanoTime());
    Random random = new Random(seed);
    Map<String, String> before = ShootSamples.listing(shootFolder);
    // The moments are to cover the whole of the writing, so it is timed once.
    assertFalse(kill(60_000));
    int wholeMs = wroteForMs;
    whole("the first");
    deleteTree(target.getParent());
    int killed = 0;
    int[] quarters = new int[4];
    int rounds = 0;
    while (killed < KILLS) {
      assertTrue(rounds < 5 * KILLS + 20, "hardly ever killed in time");
      // Every other round goes on with what the one before left; the rest begin anew.
      if (rounds % 2 == 0 && Files.exists(target.getParent())) {
        deleteTree(target.getParent());
      }
      String when = "seed " + seed + " round " + rounds;
      int afterMs = random.nextInt(wholeMs);
      if (kill(afterMs)) {
        killed++;
        quarters[4 * afterMs / wholeMs]++;
        assertTrue(!Files.exists(target), when);
      } else {
        // It was faster than the killer; the hand-over must be whole. On with a new one.
        whole(when);
        deleteTree(target.getParent());
      }
      assertEquals(before, ShootSamples.listing(shootFolder), when);
      rounds++;
    }
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("seed " + seed + " at the end");
    System.out.println(
        killed
            + " of "
            + rounds
            + " runs were killed while they wrote; by quarters of the "
            + wholeMs
            + " ms that it takes: "
            + Arrays.toString(quarters));
  }

  /** A process that hands the shoot over. */
  private List<String> command() {
    return List.of(
        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
        "-Xmx256m",
        "-XX:TieredStopAtLevel=1",
        "-cp",
        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
        HandOverProcess.class.getName(),
        shootFolder.toString(),
        target.toString());
  }

  /**
   * Files that cannot grow on, as on a full disk: the operating system refuses to let any of them
   * pass 900 KiB (POSIX, ulimit -f), and a lane of 10 s has 1.4 MB.
   */
  @Test
  void aDiskThatIsFullCostsOnlyWhatDidNotFit() throws Exception {
    assumeTrue(Files.isExecutable(Path.of("/bin/bash")), "needs bash");
    ShootSamples.wave(
        shootFolder.resolve("REC/z-long.wav"),
        WaveFormat.integer(24, 48_000, 1),
        ShootSamples.speech(77, 48_000, 10));
    Files.createDirectories(target.getParent());
    Path said = folder.resolve("said.txt");
    List<String> line =
        new ArrayList<>(List.of("/bin/bash", "-c", "ulimit -f 900; exec \"$@\"", "-"));
    line.addAll(command());
    Process process =
        new ProcessBuilder(line).redirectErrorStream(true).redirectOutput(said.toFile()).start();
    assertTrue(process.waitFor(120, TimeUnit.SECONDS));
    String text = Files.readString(said);
    assertNotEquals(0, process.exitValue(), text);
    assertTrue(text.contains("The hand-over could not be written"), text);
    assertTrue(text.contains("finished lanes wait in"), text);
    assertFalse(Files.exists(target));
    List<Path> kept = lanes(target.resolveSibling(".out-unfinished-1"));
    assertFalse(kept.isEmpty());
    for (Path lane : kept) {
      assertTrue(Files.size(lane) < 900 * 1024, lane + " did not fit");
      Files.setLastModifiedTime(lane, LONG_AGO);
    }
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    assertEquals(List.of(), HandOverCheck.run(target, List.of(), Monitor.SILENT).differences());
    for (Path lane : kept) {
      Path written = target.resolve("lanes").resolve(lane.getFileName());
      assertEquals(LONG_AGO, Files.getLastModifiedTime(written), lane + " was written again");
    }
    assertEquals(13, lanes(target).size());
    nothingLeft();
  }

  /** The disk is pulled out while lanes are written: everything on it is gone. */
  @Test
  void aTargetThatVanishesLeavesNothing() throws Exception {
    Shoot shoot = ShootSamples.read(shootFolder);
    AtomicBoolean gone = new AtomicBoolean();
    Monitor monitor =
        new Monitor() {
          @Override
          public synchronized void progress(String stage, double fraction) {
            Path work = target.resolveSibling(".out-unfinished-1");
            if (stage.startsWith("writing lanes")
                && fraction > 0.8
                && gone.compareAndSet(false, true)) {
              try {
                deleteTree(work);
              } catch (IOException e) {
                throw new UncheckedIOException(e);
              }
            }
          }

          @Override
          public boolean isCancelled() {
            return false;
          }
        };
    ShootException e =
        assertThrows(
            ShootException.class,
            () -> HandOver.write(shoot, ShootSamples.options(target, false), monitor));
    assertTrue(gone.get());
    assertEquals(ShootException.Reason.NOTHING_DONE, e.reason());
    assertFalse(Files.exists(target));
    HandOver.write(shoot, ShootSamples.options(target, false), Monitor.SILENT);
    whole("after it was plugged in again");
    nothingLeft();
  }

  /** Whether the process was killed before it was done. */
  private boolean kill(int afterMs) throws Exception {
    Files.createDirectories(target.getParent());
    Process process =
        new ProcessBuilder(command()).redirectError(ProcessBuilder.Redirect.INHERIT).start();
    try (BufferedReader said = process.inputReader(StandardCharsets.UTF_8)) {
      assertEquals("read", said.readLine());
      long start = System.nanoTime();
      process.waitFor(afterMs, TimeUnit.MILLISECONDS);
      wroteForMs = (int) ((System.nanoTime() - start) / 1_000_000);
    } finally {
      process.destroyForcibly().waitFor();
    }
    return !Files.exists(target);
  }

  private void whole(String when) throws Exception {
    HandOverCheck.Result result = HandOverCheck.run(target, List.of(), Monitor.SILENT);
    assertEquals(List.of(), result.differences(), when);
    assertEquals(12, lanes(target).size(), when);
  }

  @Test
  void finishedLanesAreNotWrittenAgain() throws Exception {
    leaveUnfinished();
    Path work = target.resolveSibling(".out-unfinished-1");
    assertEquals(12, lanes(work).size());
    HandOver.Result result =
        HandOver.write(
            ShootSamples.read(shootFolder),
            new HandOver.Options(
                target,
                false,
                DriftCorrection.AUTO,
                ReaderChoice.BEST,
                ShootSamples.MADE_AT.plusHours(5)),
            Monitor.SILENT);
    whole("continued");
    for (Path lane : lanes(target)) {
      assertEquals(LONG_AGO, Files.getLastModifiedTime(lane), lane + " was written again");
    }
    assertEquals(ShootSamples.MADE_AT, result.report().madeAt(), "it keeps its time");
    nothingLeft();
  }

  /** Killed between the papers and the move: the papers are made anew, and list no old ones. */
  @Test
  void papersOfAKilledRunAreNoPartOfTheNextOne() throws Exception {
    leaveUnfinished();
    Path work = target.resolveSibling(".out-unfinished-1");
    Files.writeString(work.resolve("checksums.txt"), "begun");
    Files.writeString(work.resolve("report.html"), "begun");
    Files.writeString(work.resolve("old.csv"), "of an older plan");
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("continued");
    assertFalse(Files.exists(target.resolve("old.csv")));
    for (Path lane : lanes(target)) {
      assertEquals(LONG_AGO, Files.getLastModifiedTime(lane), lane + " was written again");
    }
    nothingLeft();
  }

  @Test
  void aDamagedLaneIsWrittenAgain() throws Exception {
    leaveUnfinished();
    Path damaged = lanes(target.resolveSibling(".out-unfinished-1")).get(5);
    byte[] bytes = Files.readAllBytes(damaged);
    bytes[bytes.length / 2] ^= 4;
    Files.write(damaged, bytes);
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("continued");
    assertNotEquals(
        LONG_AGO,
        Files.getLastModifiedTime(target.resolve("lanes").resolve(damaged.getFileName())));
    nothingLeft();
  }

  @Test
  void aChangedSourceBeginsAnew() throws Exception {
    leaveUnfinished();
    ShootSamples.wave(
        Files.createDirectories(shootFolder.resolve("REC")).resolve("r9.wav"),
        WaveFormat.integer(24, 48_000, 1),
        ShootSamples.speech(33, 48_000, 2));
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    assertEquals(13, lanes(target).size());
    for (Path lane : lanes(target)) {
      assertNotEquals(LONG_AGO, Files.getLastModifiedTime(lane), lane + " is of another plan");
    }
    nothingLeft();
  }

  /** A torn last line, an empty journal, and a foreign one. */
  @Test
  void brokenJournalsDoNoHarm() throws Exception {
    Path journal = target.resolveSibling(".out-unfinished-1.journal");
    leaveUnfinished();
    byte[] bytes = Files.readAllBytes(journal);
    Files.write(journal, Arrays.copyOf(bytes, bytes.length - 10));
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("torn");
    nothingLeft();
    deleteTree(target);

    leaveUnfinished();
    Files.write(journal, new byte[0]);
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("empty");
    nothingLeft();
    deleteTree(target);

    Files.writeString(journal, "my diary");
    Path mine = Files.createDirectory(target.resolveSibling(".out-unfinished-1"));
    Files.writeString(mine.resolve("mine.txt"), "mine");
    HandOver.write(
        ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    whole("foreign");
    assertEquals("my diary", Files.readString(journal));
    assertEquals("mine", Files.readString(mine.resolve("mine.txt")));
  }

  @Test
  void twoAtOnceDoNotShareAFolder() throws Exception {
    Files.createDirectories(target.getParent());
    String plan = "0".repeat(64);
    try (HandOverFolder one =
            HandOverFolder.begin(target, false, List.of(), plan, ShootSamples.MADE_AT);
        HandOverFolder two =
            HandOverFolder.begin(target, false, List.of(), plan, ShootSamples.MADE_AT)) {
      assertNotEquals(one.work(), two.work());
      assertFalse(two.journal().isContinued());
    }
    nothingLeft();
  }

  /** What a cancel leaves, and a process that is killed, when all lanes are written. */
  private void leaveUnfinished() throws Exception {
    Shoot shoot = ShootSamples.read(shootFolder);
    Monitor monitor =
        new Monitor() {
          private volatile boolean stop;

          @Override
          public void progress(String stage, double fraction) {
            if (stage.equals("writing the report")) {
              stop = true;
            }
          }

          @Override
          public boolean isCancelled() {
            return stop;
          }
        };
    assertThrows(
        CancellationException.class,
        () -> HandOver.write(shoot, ShootSamples.options(target, false), monitor));
    for (Path lane : lanes(target.resolveSibling(".out-unfinished-1"))) {
      Files.setLastModifiedTime(lane, LONG_AGO);
    }
  }

  private void nothingLeft() throws IOException {
    try (Stream<Path> entries = Files.list(target.getParent())) {
      assertEquals(
          List.of(),
          entries.filter(path -> path.getFileName().toString().startsWith(".")).toList());
    }
  }

  private static List<Path> lanes(Path handOver) throws IOException {
    try (Stream<Path> lanes = Files.list(handOver.resolve("lanes"))) {
      return lanes.sorted().toList();
    }
  }

  private static void deleteTree(Path root) throws IOException {
    try (Stream<Path> all = Files.walk(root)) {
      for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(path);
      }
    }
  }
}
