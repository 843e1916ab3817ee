package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.wave.WaveFormat;
import java.io.BufferedReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A process that is ended at any moment leaves a saved shoot that opens. */
@NullUnmarked
class ShootFileKillTest {
  @TempDir Path folder;

  @Test
  void aLogCutAnywhereGivesWholeResultsOrNone() throws Exception {
    Path first = KeptSamples.wave(folder.resolve("a.wav"), 91, 3);
    Path second = KeptSamples.wave(folder.resolve("b.wav"), 92, 3);
    Path file = folder.resolve("shoot.hardpan");
    try (Scratch scratch = Scratch.create()) {
      Analysis one = KeptSamples.analysis(first, scratch);
      Analysis two = KeptSamples.analysis(second, scratch);
      byte[] main;
      byte[] log;
      try (ShootFile kept = ShootFile.create(file)) {
        KeptSamples.store(kept, first, one);
        KeptSamples.store(kept, second, two);
        main = Files.readAllBytes(file);
        log = Files.readAllBytes(Path.of(file + "-wal"));
      }
      Path copy = folder.resolve("copy.hardpan");
      int seenOne = 0;
      int seenTwo = 0;
      int cuts = 24;
      for (int cut = 0; cut <= cuts; cut++) {
        Files.write(copy, main);
        // Never at a page's end only: an odd number of bytes is missing.
        int length = cut == cuts ? log.length : (int) ((long) log.length * cut / cuts) | 1;
        Files.write(Path.of(copy + "-wal"), Arrays.copyOf(log, cut == 0 ? 0 : length));
        try (ShootFile kept = ShootFile.open(copy)) {
          Optional<Analysis> a = KeptSamples.find(kept, first, scratch);
          Optional<Analysis> b = KeptSamples.find(kept, second, scratch);
          assertEquals(Optional.empty(), kept.trouble());
          if (a.isPresent()) {
            KeptSamples.assertSame(one, a.get());
            seenOne++;
          }
          if (b.isPresent()) {
            KeptSamples.assertSame(two, b.get());
            assertTrue(a.isPresent(), "the later one only, cut " + cut);
            seenTwo++;
          }
          KeptSamples.store(kept, first, one);
          assertTrue(KeptSamples.find(kept, first, scratch).isPresent());
        }
        assertFalse(Files.exists(Path.of(copy + "-wal")));
      }
      assertTrue(seenTwo >= 1 && seenOne > seenTwo && seenOne < cuts, seenOne + " " + seenTwo);
    }
  }

  @Test
  @Timeout(120)
  void aSecondProcessIsToldAndAKilledOneLeavesAWholeFile() throws Exception {
    Path file = folder.resolve("shoot.hardpan");
    Path small = KeptSamples.wave(folder.resolve("a.wav"), 93, 2);
    float[] low = ShootSamples.speech(94, 8000, 400);
    Path large = ShootSamples.wave(folder.resolve("b.wav"), WaveFormat.integer(16, 8000, 1), low);
    long seed = System.nanoTime();
    Random random = new Random(seed);
    try (Scratch scratch = Scratch.create()) {
      Analysis one = KeptSamples.analysis(small, scratch);
      Analysis two = KeptSamples.analysis(large, scratch);
      for (int round = 0; round < 3; round++) {
        Process holder = start(file, small, large);
        try (BufferedReader said = holder.inputReader(StandardCharsets.UTF_8)) {
          assertEquals("kept", said.readLine());
          ShootException e = assertThrows(ShootException.class, () -> ShootFile.open(file));
          assertTrue(e.sentence().contains("open in another Hardpan"), e.sentence());
          holder.waitFor(random.nextInt(300), TimeUnit.MILLISECONDS);
        } finally {
          holder.destroyForcibly().waitFor();
        }
        try (ShootFile kept = ShootFile.open(file)) {
          String when = "seed " + seed + " round " + round;
          KeptSamples.assertSame(one, find(kept, small, scratch, when));
          KeptSamples.assertSame(two, find(kept, large, scratch, when));
        }
      }
    }
  }

  private static Analysis find(ShootFile kept, Path wave, Scratch scratch, String when) {
    Optional<Analysis> found = KeptSamples.find(kept, wave, scratch);
    assertTrue(found.isPresent(), when);
    return found.get();
  }

  private static Process start(Path file, Path... waves) throws Exception {
    String classes =
        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path"));
    ProcessBuilder builder =
        new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx256m",
            "-cp",
            classes,
            ShootFileHolder.class.getName(),
            file.toString());
    for (Path wave : waves) {
      builder.command().add(wave.toString());
    }
    return builder.redirectError(ProcessBuilder.Redirect.INHERIT).start();
  }
}
