package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Cuts and flips bytes in twenty kinds of files and reads what is left through both readers: sound
 * or one of the three typed errors, nothing else, and no hang. A small share runs in every build;
 * {@code -Dhardpan.damage=full} runs 200 cuts and 2,000 flips a file, see docs/rescue.md.
 */
class DamageTest {
  private static final boolean FULL = "full".equals(System.getProperty("hardpan.damage"));
  private static final long SEED = Long.getLong("hardpan.damage.seed", 2026);
  private static final int CUTS = FULL ? 200 : 3;
  private static final int FLIPS = FULL ? 2000 : 15;
  private static final int HANG_SECONDS = 5;

  /** What the process may hold beside its heap: code, native libraries, their buffers. */
  private static final long MAX_NATIVE_BYTES = 600L << 20;

  private final Map<String, Integer> outcomes = new TreeMap<>();
  private long slowestMillis;
  private String slowest = "";

  @Test
  @Timeout(7200)
  void onlySoundOrTypedErrorsComeOut(@TempDir Path dir) throws Exception {
    ExecutorService worker =
        Executors.newSingleThreadExecutor(
            task -> {
              Thread thread = new Thread(task, "damage");
              thread.setDaemon(true);
              return thread;
            });
    List<String> faults = new ArrayList<>();
    try {
      for (Path file : DamageSet.write(dir, SEED, 12_000)) {
        damage(worker, file, dir.resolve("damaged"), faults);
      }
    } finally {
      worker.shutdownNow();
    }
    long peak = peakResidentBytes();
    if (FULL) {
      System.out.printf(
          Locale.ROOT,
          "seed %d, %d cuts and %d flips a file, %d kinds, outcomes %s, slowest %d ms (%s), peak"
              + " resident %d MB with a heap of at most %d MB%n",
          SEED,
          CUTS,
          FLIPS,
          DamageSet.KINDS.size(),
          outcomes,
          slowestMillis,
          slowest,
          peak >> 20,
          Runtime.getRuntime().maxMemory() >> 20);
    }
    assertEquals(List.of(), faults, "seed " + SEED);
    assertTrue(peak < Runtime.getRuntime().maxMemory() + MAX_NATIVE_BYTES, peak + " bytes");
  }

  private void damage(ExecutorService worker, Path file, Path target, List<String> faults)
      throws Exception {
    byte[] whole = Files.readAllBytes(file);
    for (int i = 0; i < CUTS + FLIPS && faults.size() < 20; i++) {
      long seed = SEED * 1_000_003 + file.getFileName().toString().hashCode() * 31L + i;
      boolean cut = i < CUTS;
      Files.write(target, cut ? cut(whole, new Random(seed)) : flipped(whole, new Random(seed)));
      for (ReaderChoice choice : List.of(ReaderChoice.BEST, ReaderChoice.FALLBACK)) {
        String what =
            file.getFileName() + (cut ? " cut" : " flipped") + ", trial " + i + ", " + choice;
        long began = System.nanoTime();
        Future<String> result = worker.submit(() -> read(target, choice));
        String outcome;
        try {
          outcome = result.get(HANG_SECONDS, TimeUnit.SECONDS);
        } catch (ExecutionException e) {
          faults.add(what + ": " + e.getCause() + " " + where(e));
          outcome = "fault";
        } catch (TimeoutException e) {
          faults.add(what + ": more than " + HANG_SECONDS + " s");
          outcome = "hang";
          // Waits on: a slow read is a fault in the list, a true hang ends in the time limit.
          result.get();
        }
        long millis = (System.nanoTime() - began) / 1_000_000;
        if (millis > slowestMillis) {
          slowestMillis = millis;
          slowest = what;
        }
        outcomes.merge(outcome, 1, Integer::sum);
      }
    }
  }

  private static String where(ExecutionException e) {
    Throwable cause = e.getCause();
    StackTraceElement[] trace = (cause == null ? e : cause).getStackTrace();
    return String.join(
        " < ", Arrays.stream(trace).limit(8).map(StackTraceElement::toString).toList());
  }

  private static byte[] cut(byte[] whole, Random random) {
    return Arrays.copyOf(whole, random.nextInt(whole.length));
  }

  /** One to eight bytes; half of the time where headers and indices are. */
  private static byte[] flipped(byte[] whole, Random random) {
    byte[] bytes = whole.clone();
    int edge = Math.min(bytes.length, 3000);
    int from = 0;
    int span = bytes.length;
    switch (random.nextInt(4)) {
      case 0 -> span = edge;
      case 1 -> {
        from = bytes.length - edge;
        span = edge;
      }
      default -> {}
    }
    int hits = 1 + random.nextInt(8);
    for (int i = 0; i < hits; i++) {
      bytes[from + random.nextInt(span)] = (byte) random.nextInt();
    }
    return bytes;
  }

  private static String read(Path file, ReaderChoice choice) throws IOException {
    try (SourceReader reader = SourceOpener.open(file, choice)) {
      int channels = reader.facts().channelCount();
      float[][] block = new float[channels][1 << 14];
      // A damaged time stamp may ask for an hour of silence; a few minutes are enough here.
      long limit = 300L * reader.facts().rateHz();
      long at = 0;
      int count = 1 << 14;
      while (count == 1 << 14 && at < limit) {
        count = reader.readAt(at, block, 1 << 14);
        at += count;
      }
      if (reader.facts().sampleForm() == SourceFacts.SampleForm.INTEGER) {
        reader.readIntegersAt(at / 2, new int[channels][100], 100);
      }
      reader.oddities().forEach(oddity -> assertTrue(oddity.endsWith("."), oddity));
      reader.concealedFrames();
      return "sound";
    } catch (MediaException e) {
      DamagedFilesTest.assertSentence(e);
      return e.code();
    }
  }

  /** The most memory this process ever held, from Linux; 0 where that is not known. */
  private static long peakResidentBytes() throws IOException {
    Path status = Path.of("/proc/self/status");
    if (!Files.isReadable(status)) {
      return 0;
    }
    for (String line : Files.readAllLines(status)) {
      if (line.startsWith("VmHWM:")) {
        return Long.parseLong(line.replaceAll("[^0-9]", "")) << 10;
      }
    }
    return 0;
  }
}
