package hardpan.shoot;

import static hardpan.shoot.ShootSamples.RATE;
import static hardpan.shoot.ShootSamples.heard;
import static hardpan.shoot.ShootSamples.speech;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.report.LaneReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Files that are parts of one recording are treated as one piece; others are not. */
@NullUnmarked
class RunsTest {
  private static final WaveFormat MONO = WaveFormat.integer(24, RATE, 1);

  @TempDir Path temp;

  /** Speech with resonances, as voices have them, and a room's own hum and noise. */
  private static float[] room(long seed, double seconds) {
    float[] sound = speech(seed, RATE, seconds);
    double last = 0;
    double before = 0;
    for (int i = 0; i < sound.length; i++) {
      double hum = 0.002 * Math.sin(2 * Math.PI * 100 * i / RATE);
      double now = 0.02 * (sound[i] + hum) + 1.94 * last - 0.96 * before;
      before = last;
      last = now;
      sound[i] = (float) Math.max(-0.9, Math.min(0.9, now));
    }
    return heard(sound, RATE, 0, seconds, seed + 1);
  }

  private static WaveMetadata stamped(long startFrame) {
    BroadcastExtension bext =
        BroadcastExtension.of("", "Recorder", "", "2026-05-16", "19-00-00", startFrame, null, "");
    return new WaveMetadata(bext, null, Map.of(), List.of());
  }

  /** The middle of the loudest tenth of a second within a second of a place. */
  private static double loud(float[] sound, double seconds) {
    double best = 0;
    double found = seconds;
    for (double at = seconds - 1; at <= seconds + 1; at += 0.05) {
      double power = 0;
      for (int i = (int) (at * RATE) - RATE / 20; i < (int) (at * RATE) + RATE / 20; i++) {
        power += sound[i] * sound[i];
      }
      if (power > best) {
        best = power;
        found = at;
      }
    }
    return (double) (int) (found * RATE) / RATE;
  }

  /** On the grid of 16 bits, so that every writer writes the same. */
  private static float[] onGrid(float[] sound) {
    for (int i = 0; i < sound.length; i++) {
      sound[i] = (float) (Math.rint(sound[i] * 32_768) / 32_768);
    }
    return sound;
  }

  private static float[] cut(float[] sound, double from, double to) {
    return Arrays.copyOfRange(sound, (int) Math.round(from * RATE), (int) Math.round(to * RATE));
  }

  private Shoot linedUp(Path folder, Scratch scratch) throws Exception {
    ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
    return steps.lineUp(steps.read(steps.find(List.of(folder))), null);
  }

  private static SourceReport source(Report report, String path) {
    return report.sources().stream().filter(one -> one.path().equals(path)).findFirst().get();
  }

  @Test
  void longTakeAndRecorderInPartsBecomeOnePieceEach() throws Exception {
    Path folder = temp.resolve("supper");
    float[] host = room(1, 36);
    float[] guest = room(3, 36);
    double[] recorded = {0, 13.3, 36};
    for (int i = 0; i < 2; i++) {
      ShootSamples.wave(
          folder.resolve("REC/day_" + (i + 1) + ".wav"),
          WaveFormat.integer(24, RATE, 2),
          stamped((long) (recorded[i] * RATE)),
          cut(host, recorded[i], recorded[i + 1]),
          cut(guest, recorded[i], recorded[i + 1]));
    }
    float[] left = onGrid(heard(host, RATE, 5, 24, 5));
    float[] right = onGrid(heard(guest, RATE, 5, 24, 6));
    // A camera has no time stamps here, so that the sound alone must prove: it speaks at the cuts.
    double[] filmed = {0, loud(left, 9), loud(left, 18), 24};
    ShootSamples.wave(temp.resolve("uncut.wav"), WaveFormat.integer(16, RATE, 2), left, right);
    for (int i = 0; i < 3; i++) {
      ShootSamples.clip(
          folder.resolve("CAM-A/C000" + (i + 1) + ".mov"),
          "mov",
          "pcm_s16le",
          RATE,
          cut(left, filmed[i], filmed[i + 1]),
          cut(right, filmed[i], filmed[i + 1]));
    }
    try (Scratch scratch = Scratch.create()) {
      Shoot shoot = linedUp(folder, scratch);
      assertEquals("REC/day_1.wav", shoot.referencePath());
      Path out = temp.resolve("out");
      HandOver.Result result =
          HandOver.write(shoot, ShootSamples.options(out, false), Monitor.SILENT);
      Report report = result.report();
      for (int i = 0; i < 3; i++) {
        SourceReport part = source(report, "CAM-A/C000" + (i + 1) + ".mov");
        assertEquals("CAM-A#1", part.run(), shoot.runs().toString());
        assertEquals(i + 1, part.runPart());
        assertEquals(5 + filmed[i], part.placement().offsetSeconds(), 0.0001);
      }
      SourceReport second = source(report, "REC/day_2.wav");
      assertEquals("REC#1", second.run());
      assertEquals(2, second.runPart());
      assertEquals(13.3, second.placement().offsetSeconds(), 1e-9);
      assertNull(source(report, "REC/day_1.wav").placement());
      List<LaneReport> lanes =
          report.lanes().stream().filter(lane -> lane.source().equals("CAM-A#1")).toList();
      assertEquals(2, lanes.size(), report.lanes().toString());
      assertEquals(4, report.lanes().size());
      try (SourceReader uncut = SourceOpener.open(temp.resolve("uncut.wav"))) {
        int frames = 24 * RATE;
        int[][] expected = new int[2][frames];
        assertEquals(frames, uncut.readIntegersAt(0, expected, frames));
        for (int c = 0; c < 2; c++) {
          try (SourceReader lane = SourceOpener.open(out.resolve(lanes.get(c).file()))) {
            int[][] got = new int[1][frames + 1];
            assertEquals(frames, lane.readIntegersAt(0, got, frames + 1));
            assertArrayEquals(expected[c], Arrays.copyOf(got[0], frames));
          }
        }
      }
    }
  }

  @Test
  void twoTakesWithConsecutiveNumbersStayApart() throws Exception {
    Path folder = temp.resolve("takes");
    float[] sound = room(11, 30);
    double[][] takes = {{0, 8}, {8.4, 14}, {20, 29}};
    for (int i = 0; i < takes.length; i++) {
      ShootSamples.wave(
          folder.resolve("REC/take" + (i + 1) + ".wav"),
          MONO,
          cut(sound, takes[i][0], takes[i][1]));
    }
    Shoot shoot = ShootSamples.read(folder);
    assertEquals(3, shoot.runs().size(), shoot.runs().toString());
  }

  @Test
  void whiteNoiseIsJoinedOnlyWhereTheTimesAgreeAndIsMarked() throws Exception {
    Path folder = temp.resolve("noise");
    Random random = new Random(4);
    float[] noise = new float[6 * RATE];
    for (int i = 0; i < noise.length; i++) {
      noise[i] = (float) (0.05 * random.nextGaussian());
    }
    for (String device : List.of("STAMPED", "BARE")) {
      for (int i = 0; i < 2; i++) {
        ShootSamples.wave(
            folder.resolve(device + "/n" + (i + 1) + ".wav"),
            MONO,
            device.equals("BARE") ? WaveMetadata.NONE : stamped(3L * i * RATE),
            cut(noise, 3 * i, 3 * i + 3 - (device.equals("BARE") ? i : 0)));
      }
    }
    Shoot shoot = ShootSamples.read(folder);
    assertEquals(2, shoot.source("STAMPED/n2.wav").analysis() == null ? 0 : 2);
    Run joined = shoot.runOf(shoot.source("STAMPED/n2.wav"));
    assertEquals(2, joined.parts().size());
    assertTrue(!joined.joins().get(0).isProved());
    assertEquals(
        "likely-join",
        shoot
            .source("STAMPED/n2.wav")
            .analysis()
            .verdicts()
            .channels()
            .get(0)
            .findings()
            .get(0)
            .code());
    assertEquals(1, shoot.runOf(shoot.source("BARE/n1.wav")).parts().size());
  }

  @Test
  void aMissingPartIsNamed() throws Exception {
    Path folder = temp.resolve("gap");
    float[] sound = room(21, 36);
    for (int i : new int[] {0, 1, 3}) {
      ShootSamples.wave(
          folder.resolve("REC/day_" + (i + 1) + ".wav"),
          MONO,
          stamped(9L * i * RATE),
          cut(sound, 9 * i, 9 * i + 9));
    }
    Shoot shoot = ShootSamples.read(folder);
    assertEquals(2, shoot.runs().size());
    assertEquals(2, shoot.runOf(shoot.source("REC/day_1.wav")).parts().size());
    var finding =
        shoot.source("REC/day_4.wav").analysis().verdicts().channels().get(0).findings().get(0);
    assertEquals("missing-part", finding.code());
    assertEquals(9.0, (Double) finding.evidence().get("missingSeconds"), 0.001);
  }

  @Test
  void aRecordersFilesForEachMicrophoneArePlacedTogether() throws Exception {
    Path folder = temp.resolve("tracks");
    float[] host = room(31, 24);
    float[] guest = room(33, 24);
    double[] cuts = {0, 11, 24};
    for (int i = 0; i < 2; i++) {
      for (int track = 1; track <= 2; track++) {
        ShootSamples.wave(
            folder.resolve("REC/260516_00" + (i + 1) + "_Tr" + track + ".wav"),
            MONO,
            stamped((long) (cuts[i] * RATE)),
            cut(track == 1 ? host : guest, cuts[i], cuts[i + 1]));
      }
    }
    ShootSamples.clip(
        folder.resolve("CAM/c1.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        heard(guest, RATE, 4, 12, 41),
        heard(guest, RATE, 4, 12, 42));
    try (Scratch scratch = Scratch.create()) {
      Shoot shoot = linedUp(folder, scratch);
      Run run = shoot.runOf(shoot.source("REC/260516_002_Tr2.wav"));
      assertEquals(2, run.parts().size(), run.toString());
      assertEquals(
          List.of("REC/260516_001_Tr1.wav", "REC/260516_001_Tr2.wav"), run.parts().get(0).paths());
      Placement clip = shoot.source("CAM/c1.mov").placement();
      assertNotNull(clip);
      assertEquals(4.0, clip.offsetSeconds(), 0.0001);
      assertEquals(1, clip.referenceChannel());
      Path out = temp.resolve("out");
      Report report =
          HandOver.write(shoot, ShootSamples.options(out, false), Monitor.SILENT).report();
      List<String> names =
          report.lanes().stream()
              .filter(lane -> lane.source().equals("REC#1"))
              .map(LaneReport::name)
              .toList();
      assertEquals(List.of("Tr1", "Tr2"), names);
      assertEquals(11.0, source(report, "REC/260516_002_Tr1.wav").placement().offsetSeconds());
      assertEquals(2, source(report, "REC/260516_002_Tr1.wav").runPart());
    }
  }

  @Test
  void transportStreamsAreJoinedByTheirClock() throws Exception {
    Path folder = temp.resolve("stream");
    float[] sound = room(51, 20);
    Path whole = ShootSamples.clip(temp.resolve("whole.mts"), "mpegts", "ac3", RATE, sound, sound);
    byte[] bytes = Files.readAllBytes(whole);
    int packets = bytes.length / 188;
    Files.createDirectories(folder.resolve("CAM"));
    int[] cuts = {0, packets / 3, packets * 2 / 3, packets};
    for (int i = 0; i < 3; i++) {
      Files.write(
          folder.resolve("CAM/0000" + i + ".MTS"),
          Arrays.copyOfRange(bytes, cuts[i] * 188, cuts[i + 1] * 188));
    }
    Shoot shoot = ShootSamples.read(folder);
    assertEquals(1, shoot.runs().size(), shoot.runs().toString());
    Run run = shoot.runs().get(0);
    assertTrue(run.joins().stream().allMatch(Run.Join::isOneStream));
    RunPiece piece = new RunPiece(shoot, run, ReaderChoice.BEST);
    try (SourceReader uncut = SourceOpener.open(whole);
        SourceReader joined = piece.open()) {
      float[][] expected = new float[2][20 * RATE];
      float[][] got = new float[2][20 * RATE];
      int frames = uncut.readAt(0, expected, 20 * RATE);
      assertEquals(frames, joined.readAt(0, got, 20 * RATE));
      assertArrayEquals(expected[0], got[0]);
    }
  }

  @Test
  void namesCountInTheWaysOfDevices() throws IOException {
    assertEquals(1, NameSeries.steps("C0001", "C0002"));
    assertEquals(3, NameSeries.steps("take_09", "take_12"));
    assertEquals(1, NameSeries.steps("GX010042", "GX020042"));
    assertEquals(1, NameSeries.steps("AB0042", "CD010042"));
    assertEquals(1, NameSeries.steps("day", "day_2"));
    assertEquals(1, NameSeries.steps("day", "day-0001"));
    assertEquals(1, NameSeries.steps("20260516_A", "20260516_B"));
    assertEquals(1, NameSeries.steps("260516_001_Tr1", "260516_002_Tr1"));
    assertEquals(0, NameSeries.steps("C0002", "C0001"));
    assertEquals(0, NameSeries.steps("C0001", "D0002"));
    assertEquals(0, NameSeries.steps("host", "hosu"));
    assertEquals(0, NameSeries.steps("C0001", "C0001"));
  }
}
