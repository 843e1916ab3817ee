package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SpecVersion;
import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CancellationException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The whole way from a folder to a hand-over. */
@NullUnmarked
class HandOverTest {
  @TempDir Path folder;

  @Test
  void aHandOverIsWholeAndTrueAndLeavesTheSourcesAlone() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    Map<String, String> before = ShootSamples.listing(supper);
    Path target = folder.resolve("out");
    HandOver.Result result;
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(supper))), null);
      result = HandOver.write(shoot, ShootSamples.options(target, false), Monitor.SILENT);
    }
    assertEquals(before, ShootSamples.listing(supper), "the sources, to the byte and the second");
    assertNull(result.leftOver());
    assertTrue(result.shoot().isWhole());
    assertEquals("REC/take-01.wav", result.shoot().referencePath());
    checkPlace(result, "CAM-A/a1.mov", 3);
    checkPlace(result, "CAM-B/b1.mp4", 6);

    Set<String> wanted =
        Set.of(
            "",
            "checksums.txt",
            "source-checksums.txt",
            "report.html",
            "report.json",
            "timeline.otio",
            "placements.csv",
            "findings.csv",
            "lanes",
            "lanes/CAM-A_1_left.wav",
            "lanes/CAM-A_1_right.wav",
            "lanes/CAM-B_1_mono.wav",
            "lanes/REC_1_ch1.wav",
            "lanes/REC_1_ch2.wav");
    Set<String> found = new TreeSet<>(ShootSamples.listing(target).keySet());
    found.removeIf(name -> name.startsWith("lanes/REC_1_"));
    Set<String> core = new TreeSet<>(wanted);
    core.removeIf(name -> name.startsWith("lanes/REC_1_"));
    assertEquals(core, found);
    checkChecksums(target);
    checkReport(target);
    checkTimeReferences(target, result);
  }

  private static void checkPlace(HandOver.Result result, String path, double seconds) {
    Placement placement =
        result.shoot().sources().stream()
            .filter(source -> source.path().equals(path))
            .findFirst()
            .orElseThrow()
            .placement();
    assertEquals(Placement.State.PLACED, placement.state(), placement.why());
    assertEquals(seconds, placement.offsetSeconds(), 0.0005, path);
  }

  private static void checkChecksums(Path target) throws Exception {
    String text = Files.readString(target.resolve("checksums.txt"));
    assertFalse(text.contains("\r"));
    Set<String> listed = new TreeSet<>();
    for (String line : text.lines().toList()) {
      String name = line.substring(66);
      listed.add(name);
      byte[] digest =
          MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(target.resolve(name)));
      assertEquals(HexFormat.of().formatHex(digest) + "  " + name, line);
    }
    Set<String> files = new TreeSet<>();
    for (String name : ShootSamples.listing(target).keySet()) {
      if (Files.isRegularFile(target.resolve(name)) && !name.equals("checksums.txt")) {
        files.add(name);
      }
    }
    assertEquals(files, listed);
  }

  private static void checkReport(Path target) throws IOException {
    JsonNode report = new ObjectMapper().readTree(target.resolve("report.json").toFile());
    String schema = Files.readString(Path.of("docs/report-schema.json"));
    assertEquals(
        Set.of(),
        JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
            .getSchema(schema)
            .validate(report));
    for (JsonNode lane : report.get("lanes")) {
      Path file = target.resolve(lane.get("file").asText());
      WaveHeader header = WaveHeader.read(file);
      assertEquals(header.frameCount(), lane.get("frameCount").asLong());
      assertEquals(header.format().rateHz(), lane.get("sampleRateHz").asInt());
      assertEquals(header.format().containerBits(), lane.get("bitsPerSample").asInt());
      assertEquals(header.bext().timeReferenceSamples(), lane.get("timeReferenceSamples").asLong());
    }
    assertEquals(5, report.get("lanes").size());
  }

  /** Reference stamped 19:00:00; everything lies on its clock. */
  private static void checkTimeReferences(Path target, HandOver.Result result) throws IOException {
    for (var lane : result.report().lanes()) {
      double seconds = lane.file().contains("CAM-A") ? 3 : lane.file().contains("CAM-B") ? 6 : 0;
      long stamp = WaveHeader.read(target.resolve(lane.file())).bext().timeReferenceSamples();
      assertEquals((19 * 3600 + seconds) * 48_000, (double) stamp, 24, lane.file());
      assertEquals(seconds * 48_000, lane.startFrameOnReference().doubleValue(), 24, lane.file());
    }
  }

  /**
   * Cancels after n looks; the same shoot, cancelled at every stage of the writing. Nothing appears
   * under the final name, and what is kept is whole.
   */
  @Test
  void aCancelledHandOverLeavesOnlyFinishedLanes() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    Shoot shoot = ShootSamples.read(small);
    Path parent = Files.createDirectory(folder.resolve("parent"));
    CancelAfter never = new CancelAfter(Integer.MAX_VALUE);
    HandOver.write(shoot, ShootSamples.options(parent.resolve("all"), false), never);
    int looks = never.looks.get();
    assertTrue(looks > 8, "looks " + looks);
    Map<String, String> before = ShootSamples.listing(folder);
    for (int n : new int[] {0, 1, 2, looks / 3, looks / 2, looks - 4, looks - 1}) {
      CancelAfter monitor = new CancelAfter(n);
      assertThrows(
          CancellationException.class,
          () ->
              HandOver.write(
                  shoot, ShootSamples.options(parent.resolve("cancelled"), false), monitor),
          "after " + n + " of " + looks);
      String when = "after " + n + " of " + looks;
      Map<String, String> after = ShootSamples.listing(folder);
      after.keySet().removeIf(path -> path.startsWith("parent/.cancelled-unfinished-1"));
      assertEquals(before.keySet(), after.keySet(), when);
      for (Path kept : lanes(parent.resolve(".cancelled-unfinished-1"))) {
        Path whole = parent.resolve("all/lanes").resolve(kept.getFileName());
        assertEquals(Files.size(whole), Files.size(kept), when + ": " + kept);
        assertEquals(WaveHeader.read(whole).frameCount(), WaveHeader.read(kept).frameCount(), when);
      }
      // Each round from the beginning.
      Files.deleteIfExists(parent.resolve(".cancelled-unfinished-1.journal"));
      delete(parent.resolve(".cancelled-unfinished-1"));
    }
  }

  private static void delete(Path root) throws IOException {
    if (Files.exists(root)) {
      try (Stream<Path> all = Files.walk(root)) {
        for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
          Files.delete(path);
        }
      }
    }
  }

  private static List<Path> lanes(Path handOver) throws IOException {
    Path lanes = handOver.resolve("lanes");
    if (!Files.exists(lanes)) {
      return List.of();
    }
    try (Stream<Path> all = Files.list(lanes)) {
      return all.sorted().toList();
    }
  }

  /** When all lanes are written they are kept, and the next run writes none of them again. */
  @Test
  void aCancelAtTheLastMomentLosesNothing() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    Shoot shoot = ShootSamples.read(small);
    Map<String, String> before = ShootSamples.listing(folder);
    AtomicInteger reports = new AtomicInteger();
    Monitor monitor =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {
            if (stage.equals("writing the report")) {
              reports.incrementAndGet();
            }
          }

          @Override
          public boolean isCancelled() {
            return reports.get() > 0;
          }
        };
    assertThrows(
        CancellationException.class,
        () -> HandOver.write(shoot, ShootSamples.options(folder.resolve("out"), false), monitor));
    assertEquals(1, reports.get());
    Path kept = folder.resolve(".out-unfinished-1");
    List<Path> lanes = lanes(kept);
    assertEquals(4, lanes.size());
    Map<String, String> after = ShootSamples.listing(folder);
    after.keySet().removeIf(path -> path.startsWith(".out-unfinished-1"));
    assertEquals(before.keySet(), after.keySet());
    FileTime longAgo = FileTime.fromMillis(978_307_200_000L);
    for (Path lane : lanes) {
      Files.setLastModifiedTime(lane, longAgo);
    }
    HandOver.write(shoot, ShootSamples.options(folder.resolve("out"), false), Monitor.SILENT);
    for (Path lane : lanes(folder.resolve("out"))) {
      assertEquals(longAgo, Files.getLastModifiedTime(lane), lane + " was written again");
    }
    assertFalse(Files.exists(kept));
    assertFalse(Files.exists(folder.resolve(".out-unfinished-1.journal")));
  }

  @Test
  void aCancelledReplacementLeavesTheOldOne() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    Shoot shoot = ShootSamples.read(small);
    Path target = folder.resolve("out");
    HandOver.write(shoot, ShootSamples.options(target, false), Monitor.SILENT);
    Map<String, String> before = ShootSamples.listing(folder);
    assertThrows(
        CancellationException.class,
        () -> HandOver.write(shoot, ShootSamples.options(target, true), new CancelAfter(5)));
    Map<String, String> after = ShootSamples.listing(folder);
    after.keySet().removeIf(path -> path.startsWith(".out-unfinished-1"));
    before.remove("");
    after.remove("");
    assertEquals(before, after);
  }

  @Test
  void aSourceThatVanishesCostsOnlyItsOwnLanes() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    Shoot shoot = ShootSamples.read(small);
    Files.move(small.resolve("REC/r1.wav"), folder.resolve("elsewhere.wav"));
    Path target = folder.resolve("out");
    HandOver.Result result =
        HandOver.write(shoot, ShootSamples.options(target, false), Monitor.SILENT);
    assertFalse(result.shoot().isWhole());
    ShootSource gone =
        result.shoot().sources().stream()
            .filter(source -> source.path().equals("REC/r1.wav"))
            .findFirst()
            .orElseThrow();
    assertInstanceOf(MediaAccessException.class, gone.error());
    assertEquals(3, result.report().lanes().size());
    checkChecksums(target);
  }

  @Test
  void aSourceThatShrankMeanwhileIsReportedToo() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    Shoot shoot = ShootSamples.read(small);
    Files.write(small.resolve("REC/r1.wav"), new byte[] {'R', 'I', 'F', 'F'});
    HandOver.Result result =
        HandOver.write(shoot, ShootSamples.options(folder.resolve("out"), false), Monitor.SILENT);
    ShootSource broken =
        result.shoot().sources().stream()
            .filter(source -> source.path().equals("REC/r1.wav"))
            .findFirst()
            .orElseThrow();
    assertInstanceOf(MalformedMediaException.class, broken.error());
  }

  /** A small file system of its own fills up in the middle of the writing. */
  @Test
  void aFullDiskLeavesNothing() throws Exception {
    Path disk = Files.createDirectory(folder.resolve("disk"));
    assumeTrue(mount(disk), "Skipped: no small file system can be mounted here.");
    try {
      Path small = ShootSamples.smallShoot(folder.resolve("small"));
      Shoot shoot = ShootSamples.read(small);
      FileStore store = Files.getFileStore(disk);
      Monitor filling =
          new Monitor() {
            @Override
            public synchronized void progress(String stage, double fraction) {
              if (stage.equals("writing lanes") && !Files.exists(disk.resolve("filler"))) {
                try {
                  Files.write(
                      disk.resolve("filler"),
                      new byte[(int) Math.max(0, store.getUsableSpace() - 100_000)]);
                } catch (IOException e) {
                  throw new AssertionError(e);
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
              () ->
                  HandOver.write(shoot, ShootSamples.options(disk.resolve("out"), false), filling));
      assertEquals(ShootException.Reason.NOTHING_DONE, e.reason());
      assertTrue(e.sentence().contains("No space left"), e.sentence());
      assertFalse(e.sentence().contains("Exception"), e.sentence());
      assertEquals(Set.of("", "filler"), ShootSamples.listing(disk).keySet());
      ShootException early =
          assertThrows(
              ShootException.class,
              () ->
                  HandOver.write(
                      shoot, ShootSamples.options(disk.resolve("out"), false), Monitor.SILENT));
      assertTrue(early.sentence().contains("MB are free"), early.sentence());
      assertEquals(Set.of("", "filler"), ShootSamples.listing(disk).keySet());
    } finally {
      run("umount", disk.toString());
    }
  }

  private static boolean mount(Path disk) throws Exception {
    boolean done = run("mount", "-t", "tmpfs", "-o", "size=6m", "tmpfs", disk.toString()) == 0;
    if (!done) {
      System.out.println("Skipped: no small file system can be mounted here.");
    }
    return done;
  }

  private static int run(String... command) throws Exception {
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      return process.waitFor(10, TimeUnit.SECONDS) ? process.exitValue() : -1;
    } catch (IOException e) {
      return -1;
    }
  }

  /** NaN and infinities are reported, and do not get into a lane. */
  @Test
  void samplesThatAreNoNumbersBecomeSilence() throws Exception {
    float[] sound = ShootSamples.speech(21, 48_000, 2);
    float[] broken = sound.clone();
    for (int i = 1000; i < 1100; i++) {
      broken[i] = i % 3 == 0 ? Float.NaN : Float.POSITIVE_INFINITY;
    }
    Path shootFolder = folder.resolve("shoot");
    ShootSamples.wave(shootFolder.resolve("r.wav"), WaveFormat.float32(48_000, 1), broken);
    Path target = folder.resolve("out");
    HandOver.Result result =
        HandOver.write(
            ShootSamples.read(shootFolder), ShootSamples.options(target, false), Monitor.SILENT);
    assertTrue(
        result.report().sources().get(0).channels().get(0).findings().stream()
            .anyMatch(finding -> finding.code().equals("not-numbers")));
    try (var reader =
        hardpan.wave.WaveFileReader.open(target.resolve(result.report().lanes().get(0).file()))) {
      float[][] lane = new float[1][sound.length];
      assertEquals(sound.length, reader.readAt(0, lane, sound.length));
      for (int i = 0; i < sound.length; i++) {
        assertEquals(i >= 1000 && i < 1100 ? 0f : sound[i], lane[0][i], "at " + i);
      }
    }
    checkReport(target, 1);
  }

  private static void checkReport(Path target, int lanes) throws IOException {
    JsonNode report = new ObjectMapper().readTree(target.resolve("report.json").toFile());
    assertEquals(lanes, report.get("lanes").size());
  }

  @Test
  void progressGoesFromStartToEnd() throws Exception {
    Path small = ShootSamples.smallShoot(folder.resolve("small"));
    List<Double> shares = new ArrayList<>();
    Monitor monitor =
        new Monitor() {
          @Override
          public synchronized void progress(String stage, double fraction) {
            shares.add(fraction);
          }

          @Override
          public boolean isCancelled() {
            return false;
          }
        };
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor);
      Shoot shoot = steps.read(steps.find(List.of(small)));
      assertEquals(ShootSteps.READ, shares.get(shares.size() - 1), 1e-9);
      HandOver.write(shoot, ShootSamples.options(folder.resolve("out"), false), monitor);
    }
    for (int i = 1; i < shares.size(); i++) {
      assertTrue(shares.get(i) >= shares.get(i - 1) - 1e-9, "back at " + i + ": " + shares);
    }
    assertEquals(1, shares.get(shares.size() - 1));
  }

  @Test
  void theScratchFolderGoesAway() throws Exception {
    Path prefix;
    try (Scratch scratch = Scratch.create()) {
      prefix = scratch.prefix();
      Files.writeString(prefix, "x", StandardCharsets.UTF_8);
      assertFalse(prefix.equals(scratch.prefix()));
    }
    assertFalse(Files.exists(prefix.getParent()));
  }

  /** Says "cancelled" from the n-th look on. */
  private static final class CancelAfter implements Monitor {
    private final int most;
    private final AtomicInteger looks = new AtomicInteger();

    CancelAfter(int most) {
      this.most = most;
    }

    @Override
    public void progress(String stage, double fraction) {}

    @Override
    public boolean isCancelled() {
      return looks.getAndIncrement() >= most;
    }
  }
}
