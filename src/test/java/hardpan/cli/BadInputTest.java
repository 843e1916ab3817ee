package hardpan.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.shoot.ShootSamples;
import hardpan.wave.WaveFormat;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Arrays;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What the command line says and does about files and folders that are not as they should be. */
@NullUnmarked
class BadInputTest {
  @TempDir Path folder;

  /** Each broken file gets one sentence and costs nothing but itself. */
  @Test
  void brokenFilesCostOnlyThemselves() throws IOException {
    Path shoot = folder.resolve("supper");
    good(shoot.resolve("REC/good.wav"), 1);
    ShootSamples.clip(
        shoot.resolve("CAM/good.mov"),
        "mov",
        "pcm_s16le",
        48_000,
        ShootSamples.speech(2, 48_000, 2),
        ShootSamples.speech(3, 48_000, 2));
    Path bad = Files.createDirectories(shoot.resolve("BAD"));
    Files.write(bad.resolve("empty.mov"), new byte[0]);
    Files.write(bad.resolve("empty.wav"), new byte[0]);
    byte[] noise = new byte[40_000];
    new Random(4).nextBytes(noise);
    Files.write(bad.resolve("noise.mp4"), noise);
    // One byte differs: the same content twice would be left out.
    noise[39_999]++;
    Files.write(bad.resolve("noise.wav"), noise);
    Files.writeString(bad.resolve("text.mov"), "Minutes of the harvest supper committee.\n");
    byte[] clip = Files.readAllBytes(shoot.resolve("CAM/good.mov"));
    Files.write(bad.resolve("cut.mov"), Arrays.copyOf(clip, clip.length / 2));
    byte[] wave = Files.readAllBytes(shoot.resolve("REC/good.wav"));
    Files.write(bad.resolve("head-only.wav"), Arrays.copyOf(wave, 30));
    ShootSamples.wave(
        bad.resolve("no-frames.wav"), WaveFormat.integer(16, 48_000, 1), new float[0]);
    Path target = folder.resolve("out");
    CliRun run = CliRun.of("split", shoot, "--out", target, "--json").plain();
    assertEquals(ExitCode.PARTLY, run.code(), run.err());
    JsonNode report = json(run);
    int errors = 0;
    for (JsonNode source : report.get("sources")) {
      boolean isBad = source.get("path").asText().startsWith("BAD/");
      assertEquals(isBad, !source.get("error").isNull(), source.get("path").asText());
      if (isBad) {
        errors++;
        String message = source.get("error").get("message").asText();
        assertTrue(message.endsWith("."), message);
        assertTrue(message.length() > 20 && message.length() < 300, message);
        assertFalse(message.matches(".*([a-z]Exception|[a-z]\\.[a-z]+\\.[A-Z]).*"), message);
      }
    }
    assertEquals(8, errors);
    assertEquals(3, report.get("lanes").size());
    assertTrue(Files.exists(target.resolve("lanes/CAM_1_right.wav")));

    CliRun text = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.PARTLY, text.code());
    for (String name :
        new String[] {"empty.mov", "empty.wav", "noise.mp4", "noise.wav", "text.mov", "cut.mov"}) {
      assertTrue(text.out().contains("BAD/" + name + "  [cannot be read]"), text.out());
    }
  }

  @Test
  void aFileWithoutPermissionIsReported() throws IOException {
    Path shoot = folder.resolve("supper");
    good(shoot.resolve("REC/good.wav"), 1);
    Path closed = good(shoot.resolve("REC/closed.wav"), 2);
    try {
      Files.setPosixFilePermissions(closed, PosixFilePermissions.fromString("---------"));
    } catch (UnsupportedOperationException e) {
      System.out.println("Skipped: this file system has no permissions.");
      return;
    }
    if (Files.isReadable(closed)) {
      System.out.println("Skipped: the person running the tests may read everything.");
      return;
    }
    CliRun run = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.PARTLY, run.code());
    assertTrue(run.text().contains("no permission to read closed.wav"), run.out());
  }

  @Test
  void nothingReadableIsNothingDone() throws IOException {
    Path shoot = Files.createDirectories(folder.resolve("supper"));
    Files.write(shoot.resolve("a.mov"), new byte[0]);
    CliRun one = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.NOTHING, one.code());
    assertEquals("", one.out());
    assertEquals("hardpan: a.mov is empty: copy it again from the card.\n", lf(one.err()));
    Files.writeString(shoot.resolve("b.wav"), "no sound at all, just words");
    CliRun two = CliRun.of("handover", shoot, "--out", folder.resolve("out")).plain();
    assertEquals(ExitCode.NOTHING, two.code());
    assertTrue(two.err().contains("Not one of the 2 files could be read."), two.err());
    assertTrue(two.err().contains("a.mov is empty"), two.err());
    assertTrue(two.err().contains("b.wav"), two.err());
    assertFalse(Files.exists(folder.resolve("out")));
  }

  @Test
  void aFolderWithoutMediaIsNothingDone() throws IOException {
    Path shoot = Files.createDirectories(folder.resolve("supper"));
    CliRun run = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.NOTHING, run.code());
    assertTrue(run.err().contains("No clips or recordings were found in " + shoot), run.err());
    Files.writeString(shoot.resolve("minutes.txt"), "x");
    assertEquals(ExitCode.NOTHING, CliRun.of("inspect", shoot).code());
  }

  @Test
  void aFolderNamedLikeARecordingIsSearched() throws IOException {
    Path shoot = folder.resolve("supper");
    Files.createDirectories(shoot.resolve("x.wav"));
    assertEquals(ExitCode.NOTHING, CliRun.of("inspect", shoot).code());
    good(shoot.resolve("x.wav/inside.wav"), 1);
    CliRun run = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.DONE, run.code());
    assertTrue(run.out().contains("x.wav/inside.wav"), run.out());
    assertEquals(ExitCode.DONE, CliRun.of("inspect", shoot.resolve("x.wav")).code());
  }

  @Test
  void requestsThatMakeNoSense() throws IOException {
    Path shoot = folder.resolve("supper");
    good(shoot.resolve("a.wav"), 1);
    CliRun missing = CliRun.of("inspect", folder.resolve("nowhere")).plain();
    assertEquals(ExitCode.USAGE, missing.code());
    assertTrue(missing.err().contains("There is no "), missing.err());
    assertEquals("", missing.out());
    for (String command : new String[] {"lineup", "handover"}) {
      Path target = folder.resolve("out");
      Object[] rest =
          command.equals("lineup")
              ? new Object[] {command, shoot, "--reference", "take-09.wav"}
              : new Object[] {command, shoot, "--reference", "take-09.wav", "--out", target};
      CliRun reference = CliRun.of(rest).plain();
      assertEquals(ExitCode.USAGE, reference.code());
      assertTrue(
          reference.err().contains("The reference take-09.wav is not among the sources."),
          reference.err());
      assertFalse(Files.exists(target));
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "inspect --colour x; Unknown option: '--colour'",
        "inspect; Missing required parameter",
        "split x; Missing required option: '--out=DIR'",
        "handover x; Missing required option: '--out=DIR'",
        "tidy; Unmatched argument",
        "''; Missing required subcommand",
        "inspect x --reader fast; 'fast' is none of best, native, fallback",
        "split x --out y --drift maybe; 'maybe' is none of auto, on, off",
        "pad --source loud; 'loud' is not",
        "pad --source 0V; '0V' is not",
        "pad --source -1V; '-1V' is not",
        "pad --input NaN; 'NaN' is not",
        "pad --input 500; --input takes -100 to 100",
        "pad --pad -5; --pad takes 0 to 100",
        "pad --pad NaN; --pad takes 0 to 100",
        "pad --excess 1e9; --excess takes -100 to 100",
        "lineup x --reference; Missing required parameter for option '--reference'",
      })
  void usageMistakesAreNamed(String line, String says) {
    Object[] words = line.isEmpty() ? new Object[0] : line.split(" ", -1);
    CliRun run = CliRun.of(words);
    assertEquals(ExitCode.USAGE, run.code(), run.err());
    assertTrue(run.err().contains(says), run.err());
    assertEquals("", run.out());
    assertFalse(run.err().contains("Exception"), run.err());
    assertFalse(run.err().contains("hardpan.media"), run.err());
  }

  @Test
  void theTargetIsCheckedBeforeTheWork() throws IOException {
    Path shoot = folder.resolve("supper");
    // Reading this one would fail with another sentence and another code.
    Files.createDirectories(shoot);
    Files.write(shoot.resolve("a.mov"), new byte[0]);
    Path full = Files.createDirectories(folder.resolve("full"));
    Files.writeString(full.resolve("mine.txt"), "mine");
    for (String command : new String[] {"split", "handover"}) {
      CliRun exists = CliRun.of(command, shoot, "--out", full).plain();
      assertEquals(ExitCode.USAGE, exists.code());
      assertTrue(exists.err().contains("exists and is not a hand-over"), exists.err());
      CliRun inside = CliRun.of(command, shoot, "--out", shoot).plain();
      assertEquals(ExitCode.USAGE, inside.code());
      assertTrue(inside.err().contains("lies inside"), inside.err());
      CliRun below =
          CliRun.of(command, shoot, "--out", shoot.resolve("a.mov").resolve("out")).plain();
      assertEquals(ExitCode.NOTHING, below.code());
      assertTrue(below.err().contains("is no folder."), below.err());
    }
    assertEquals("mine", Files.readString(full.resolve("mine.txt")));
  }

  @Test
  void unusualButSoundFilesGoThrough() throws IOException {
    Path shoot = folder.resolve("supper");
    good(shoot.resolve("mono.wav"), 1);
    ShootSamples.clip(
        shoot.resolve("one-mic.mov"),
        "mov",
        "pcm_s24le",
        48_000,
        ShootSamples.speech(2, 48_000, 2));
    float[][] eight = new float[8][];
    for (int i = 0; i < 8; i++) {
      eight[i] = ShootSamples.speech(10 + i, 48_000, 2);
    }
    ShootSamples.wave(shoot.resolve("eight.wav"), WaveFormat.integer(24, 48_000, 8), eight);
    ShootSamples.wave(
        shoot.resolve("low.wav"), WaveFormat.integer(16, 8000, 1), ShootSamples.speech(3, 8000, 2));
    ShootSamples.wave(
        shoot.resolve("high.wav"),
        WaveFormat.integer(24, 96_000, 2),
        ShootSamples.speech(4, 96_000, 2),
        ShootSamples.speech(5, 96_000, 2));
    float[] broken = ShootSamples.speech(6, 48_000, 2);
    Arrays.fill(broken, 500, 600, Float.NaN);
    ShootSamples.wave(shoot.resolve("nan.wav"), WaveFormat.float32(48_000, 1), broken);
    ShootSamples.wave(
        shoot.resolve("one-frame.wav"), WaveFormat.integer(16, 48_000, 1), new float[] {0.5f});
    ShootSamples.clip(
        shoot.resolve("one-second.mts"),
        "mpegts",
        "ac3",
        48_000,
        ShootSamples.speech(7, 48_000, 1),
        ShootSamples.speech(8, 48_000, 1));
    CliRun split = CliRun.of("split", shoot, "--out", folder.resolve("split"), "--json").plain();
    assertEquals(ExitCode.DONE, split.code(), split.err());
    JsonNode report = json(split);
    assertEquals(8, report.get("sources").size());
    for (JsonNode source : report.get("sources")) {
      assertTrue(source.get("error").isNull(), source.toString());
    }
    assertEquals(8, count(report, "eight.wav"));
    assertEquals(2, count(report, "high.wav"));
    assertEquals(1, count(report, "low.wav"));
    assertEquals(2, count(report, "one-second.mts"));
    CliRun text = CliRun.of("inspect", shoot).plain();
    assertEquals(ExitCode.DONE, text.code());
    assertTrue(text.text().contains("100 samples are not numbers"), text.out());
    // Nothing of it belongs together, so all but the reference stay without a place.
    CliRun all = CliRun.of("handover", shoot, "--out", folder.resolve("all"), "--json").plain();
    assertEquals(ExitCode.PARTLY, all.code(), all.err());
    for (JsonNode source : json(all).get("sources")) {
      JsonNode place = source.get("placement");
      assertTrue(
          place.isNull() || place.get("state").asText().equals("unplaced"), source.toString());
    }
  }

  @Test
  void aLoneRecorderIsHandedOver() throws IOException {
    Path file = good(folder.resolve("supper/take.wav"), 1);
    CliRun run = CliRun.of("handover", file, "--out", folder.resolve("out"), "--json").plain();
    assertEquals(ExitCode.DONE, run.code(), run.err());
    JsonNode report = json(run);
    assertEquals("take.wav", report.get("reference").asText());
    assertEquals(1, report.get("lanes").size());
    assertEquals(0, report.get("lanes").get(0).get("startFrameOnReference").asInt());
  }

  @Test
  void twoCardsWithTheSameNamesStayApart() throws IOException {
    good(folder.resolve("CAM-A/clip1.wav"), 1);
    good(folder.resolve("CAM-B/clip1.wav"), 2);
    CliRun run =
        CliRun.of(
                "split",
                folder.resolve("CAM-A"),
                folder.resolve("CAM-B"),
                "--out",
                folder.resolve("out"),
                "--json")
            .plain();
    assertEquals(ExitCode.DONE, run.code());
    JsonNode sources = json(run).get("sources");
    assertEquals("CAM-A/clip1.wav", sources.get(0).get("path").asText());
    assertEquals("CAM-B/clip1.wav", sources.get(1).get("path").asText());
    assertEquals("CAM-B", sources.get(1).get("device").asText());
    assertTrue(Files.exists(folder.resolve("out/lanes/CAM-B_1_mono.wav")));
  }

  /** Without a recorder the longest clip is the clock. */
  @Test
  void onlyClipsAreLinedUpToTheLongest() throws IOException {
    float[] host = ShootSamples.speech(31, 48_000, 18);
    Path shoot = folder.resolve("supper");
    ShootSamples.clip(
        shoot.resolve("CAM-A/a.mov"),
        "mov",
        "pcm_s16le",
        48_000,
        ShootSamples.heard(host, 48_000, 0, 18, 32));
    ShootSamples.clip(
        shoot.resolve("CAM-B/b.mov"),
        "mov",
        "pcm_s16le",
        44_100,
        ShootSamples.speech(33, 44_100, 3));
    float[] part = ShootSamples.heard(host, 48_000, 5, 12, 34);
    ShootSamples.clip(shoot.resolve("CAM-C/c.mts"), "mpegts", "ac3", 48_000, part, part);
    Map<String, String> before = ShootSamples.listing(folder);
    CliRun run = CliRun.of("lineup", shoot, "--json").plain();
    assertEquals(ExitCode.PARTLY, run.code(), run.err());
    assertEquals(before, ShootSamples.listing(folder));
    JsonNode report = json(run);
    assertEquals("CAM-A/a.mov", report.get("reference").asText());
    assertEquals("unplaced", report.get("sources").get(1).get("placement").get("state").asText());
    JsonNode place = report.get("sources").get(2).get("placement");
    assertEquals("placed", place.get("state").asText());
    // AC-3 decodes 256 frames late.
    assertEquals(5 - 256 / 48_000.0, place.get("offsetSeconds").asDouble(), 0.0005);
    CliRun other =
        CliRun.of("lineup", shoot, "--json", "--reference", shoot.resolve("CAM-C/c.mts"));
    assertEquals("CAM-C/c.mts", json(other).get("reference").asText());
    assertEquals(
        -5 + 256 / 48_000.0,
        json(other).get("sources").get(0).get("placement").get("offsetSeconds").asDouble(),
        0.0005);
  }

  private static int count(JsonNode report, String source) {
    int count = 0;
    for (JsonNode lane : report.get("lanes")) {
      count += lane.get("source").asText().equals(source) ? 1 : 0;
    }
    return count;
  }

  private static JsonNode json(CliRun run) throws IOException {
    return new ObjectMapper()
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .readTree(run.out().getBytes(StandardCharsets.UTF_8));
  }

  private static String lf(String text) {
    return text.replace(System.lineSeparator(), "\n");
  }

  private static Path good(Path file, long seed) throws IOException {
    return ShootSamples.wave(
        file, WaveFormat.integer(24, 48_000, 1), ShootSamples.speech(seed, 48_000, 2));
  }
}
