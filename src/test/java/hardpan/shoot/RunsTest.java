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
import hardpan.media.SourceOrigin;
import hardpan.media.SourceReader;
import hardpan.media.StartClaim;
import hardpan.report.LaneReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
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

  /** Noise through two resonances, without pauses, so that every cut through it proves itself. */
  private static float[] steady(long seed, double seconds) {
    Random random = new Random(seed);
    double[] sound = new double[(int) Math.round(seconds * RATE)];
    double power = 0;
    for (int i = 2; i < sound.length; i++) {
      sound[i] = random.nextGaussian() + 1.96 * sound[i - 1] - 0.998 * sound[i - 2];
    }
    for (int i = 2; i < sound.length; i++) {
      sound[i] += 1.6 * sound[i - 1] - 0.99 * sound[i - 2];
      power += sound[i] * sound[i] / sound.length;
    }
    float[] level = new float[sound.length];
    for (int i = 0; i < level.length; i++) {
      level[i] = (float) (0.1 * sound[i] / Math.sqrt(power));
    }
    return level;
  }

  @Test
  void equalPartsStampedWithTheStartOfTheTakeAreNoTracks() throws Exception {
    Path folder = temp.resolve("equal");
    List<String> devices = List.of("STAMPED/day_", "UNSET/day_", "WORD/Track ");
    for (String device : devices) {
      float[] sound = steady(71 + device.length(), 9);
      for (int i = 0; i < 3; i++) {
        BroadcastExtension bext =
            BroadcastExtension.of(
                "",
                "Recorder",
                "",
                device.startsWith("UNSET") ? "2000-01-01" : "2026-05-16",
                device.startsWith("UNSET") ? "00-00-00" : "19-00-00",
                device.startsWith("UNSET") ? 0 : 19L * 3600 * RATE,
                null,
                "");
        ShootSamples.wave(
            folder.resolve(device + (i + 1) + ".wav"),
            MONO,
            new WaveMetadata(bext, null, Map.of(), List.of()),
            cut(sound, 3 * i, 3 * i + 3));
      }
    }
    for (String name : List.of("host", "guest")) {
      ShootSamples.wave(
          folder.resolve("PAIR/day_" + name + ".wav"),
          MONO,
          stamped(19L * 3600 * RATE),
          steady(name.length(), 3));
    }
    Shoot shoot = ShootSamples.read(folder);
    for (String device : devices) {
      Run run = shoot.runOf(shoot.source(device + "1.wav"));
      assertEquals(3, run.parts().size(), run.toString());
    }
    Run pair = shoot.runOf(shoot.source("PAIR/day_host.wav"));
    assertEquals(1, pair.parts().size(), pair.toString());
    assertEquals(2, pair.paths().size(), pair.toString());
  }

  @Test
  void quietEqualPartsAreNoTracksEither() throws Exception {
    Path folder = temp.resolve("quiet");
    Random random = new Random(81);
    for (int i = 0; i < 3; i++) {
      float[] noise = new float[2 * RATE];
      for (int at = 0; at < noise.length; at++) {
        noise[at] = (float) (0.01 * random.nextGaussian());
      }
      ShootSamples.wave(
          folder.resolve("REC/day_" + (i + 1) + ".wav"), MONO, stamped(19L * 3600 * RATE), noise);
    }
    Shoot shoot = ShootSamples.read(folder);
    assertEquals(3, shoot.runs().size(), shoot.runs().toString());
  }

  @Test
  void aStreamThatMayRunOnIsNeverProvedByStamps() {
    assertEquals(JoinJudge.Answer.LIKELY, ranOn(PartTimes.Says.AGREE, 0.9, false));
    assertEquals(JoinJudge.Answer.APART, ranOn(PartTimes.Says.AGREE, 2, false));
    assertEquals(JoinJudge.Answer.APART, ranOn(PartTimes.Says.UNKNOWN, 0, false));
    assertEquals(JoinJudge.Answer.LIKELY, ranOn(PartTimes.Says.UNKNOWN, 0, true));
    assertEquals(JoinJudge.Answer.APART, ranOn(PartTimes.Says.DISAGREE, 100, true));
  }

  private static JoinJudge.Answer ranOn(PartTimes.Says says, double gapSeconds, boolean isFull) {
    return JoinJudge.ranOn(new PartTimes(says, gapSeconds, false), isFull);
  }

  /** Files whose stamps are that of their end, and their lengths, in seconds. */
  private List<ShootSource> closedAt(int[] ends, int[] lengths) throws Exception {
    Path file = ShootSamples.wave(temp.resolve("one/REC/x.wav"), MONO, room(91, 1));
    ShootSource read = ShootSamples.read(file.getParent()).sources().get(0);
    Analysis own = read.analysis();
    List<ShootSource> sources = new ArrayList<>();
    for (int i = 0; i < ends.length; i++) {
      LocalDate day = LocalDate.of(2026, 5, 16);
      StartClaim claim =
          new StartClaim(
              day,
              LocalTime.of(19, 0).plusSeconds(ends[i]),
              null,
              StartClaim.Origin.BEXT,
              StartClaim.Trust.GOOD,
              "",
              "");
      SourceOrigin origin = new SourceOrigin(own.facts().origin().maker(), List.of(claim));
      sources.add(
          read.read(
              new Analysis(
                  own.facts().withOrigin(origin),
                  (long) lengths[i] * RATE,
                  own.verdicts(),
                  own.loudness(),
                  own.maps(),
                  own.overview(),
                  own.edges())));
    }
    return sources;
  }

  @Test
  void stampsAreEndsOnlyWhereAllPairsSaySo() throws Exception {
    List<ShootSource> files = closedAt(new int[] {100, 160, 180}, new int[] {100, 60, 20});
    PartTimes.Pair one = new PartTimes.Pair(files.get(0), files.get(1));
    PartTimes.Pair two = new PartTimes.Pair(files.get(1), files.get(2));
    assertTrue(PartTimes.stampsAreEnds(List.of(one, two)));
    assertTrue(!PartTimes.stampsAreEnds(List.of(one)));
    PartTimes.Pair apart = new PartTimes.Pair(files.get(0), files.get(2));
    assertTrue(!PartTimes.stampsAreEnds(List.of(one, two, apart)));
    assertEquals(
        PartTimes.Says.UNKNOWN, PartTimes.between(files.get(0), files.get(1), false).says());
    assertEquals(PartTimes.Says.AGREE, PartTimes.between(files.get(0), files.get(1), true).says());
  }

  @Test
  void timesOnTheDiskFarApartDisagree() throws Exception {
    Path folder = temp.resolve("disk");
    for (int i = 0; i < 2; i++) {
      Path file = folder.resolve("REC/n" + (i + 1) + ".wav");
      Random random = new Random(95 + i);
      float[] noise = new float[RATE];
      for (int at = 0; at < RATE; at++) {
        noise[at] = (float) (0.05 * random.nextGaussian());
      }
      ShootSamples.wave(file, MONO, noise);
      Files.setLastModifiedTime(file, FileTime.from(Instant.parse("2026-05-16T19:0" + i + ":00Z")));
    }
    Shoot shoot = ShootSamples.read(folder);
    PartTimes times =
        PartTimes.between(shoot.source("REC/n1.wav"), shoot.source("REC/n2.wav"), false);
    assertEquals(PartTimes.Says.DISAGREE, times.says());
    Strip before = new Strip(List.of(shoot.source("REC/n1.wav")));
    Strip after = new Strip(List.of(shoot.source("REC/n2.wav")));
    JoinJudge.Verdict verdict = JoinJudge.judge(before, after, false);
    assertTrue(!verdict.joins() && !verdict.why().contains("as large as"), verdict.why());
  }

  @Test
  void digitsOfOtherScriptsStopNoShoot() throws Exception {
    Path folder = temp.resolve("digits");
    long seed = 60;
    for (String name : List.of("\u0661 a", "ok", "12")) {
      ShootSamples.wave(folder.resolve("REC/" + name + ".wav"), MONO, room(seed++, 1));
    }
    assertEquals(3, ShootSamples.read(folder).runs().size());
  }

  @Test
  void whatCannotBeJudgedStaysApart() throws Exception {
    Path folder = temp.resolve("unjudged");
    float[] sound = room(63, 4);
    for (int i = 0; i < 2; i++) {
      ShootSamples.wave(
          folder.resolve("REC/n" + (i + 1) + ".wav"),
          MONO,
          stamped(2L * i * RATE),
          cut(sound, 2 * i, 2 * i + 2));
    }
    List<ShootSource> broken = new ArrayList<>();
    for (ShootSource source : ShootSamples.read(folder).sources()) {
      Analysis own = source.analysis();
      broken.add(
          source.read(
              new Analysis(
                  own.facts(),
                  own.frameCount(),
                  own.verdicts(),
                  own.loudness(),
                  own.maps(),
                  own.overview(),
                  null)));
    }
    assertEquals(2, RunFinder.find(broken).runs().size());
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
    assertEquals(0, NameSeries.steps("12", "ok"));
    assertEquals(0, NameSeries.steps("ok", "12"));
    assertEquals(0, NameSeries.steps("\u0661 a", "ok"));
    assertEquals(0, NameSeries.steps("\u0661", "\u0662"));
  }
}
