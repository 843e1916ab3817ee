package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.SourceClock;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.PairVerdict.Relation;
import hardpan.verdict.Verdicts;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Which lanes are planned and what they are called. */
@NullUnmarked
class LanePlannerTest {
  /**
   * Names no Windows file may have, with or without an ending: Microsoft, "Naming Files, Paths, and
   * Namespaces".
   */
  private static final Set<String> RESERVED =
      Set.of(
          "CON", "PRN", "AUX", "NUL", "COM1", "COM2", "COM3", "COM4", "COM5", "COM6", "COM7",
          "COM8", "COM9", "LPT1", "LPT2", "LPT3", "LPT4", "LPT5", "LPT6", "LPT7", "LPT8", "LPT9");

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "CAM-A; CAM-A_1_left.wav",
        "Kamera M\u00fcller; Kamera-Muller_1_left.wav",
        "Stra\u00dfe \u00c6r\u00f8; Strasse-AEro_1_left.wav",
        "\ud83c\udfa5 cam; cam_1_left.wav",
        "\ud83c\udfa5; x_1_left.wav",
        "\u6620\u50cf; x_1_left.wav",
        "CON; CON_1_left.wav",
        "nul.wav; x-nul.wav_1_left.wav",
        "a/b\\c:d*e?f\"g<h>i|j; a-b-c-d-e-f-g-h-i-j_1_left.wav",
        "..; x_1_left.wav",
        "-rf; rf_1_left.wav",
        "cam_a; cam-a_1_left.wav",
        "one.; one_1_left.wav",
      })
  void namesAreSafeAndPredictable(String device, String fileName) {
    assertEquals(fileName, plan(clip(device, Relation.ISOLATED, 0)).get(0).fileName());
  }

  @Test
  void anyNameBecomesOneThatEveryFileSystemTakes() {
    Random random = new Random(81);
    List<LaneSource> sources = new ArrayList<>();
    for (int i = 0; i < 400; i++) {
      StringBuilder device = new StringBuilder();
      int length = 1 + random.nextInt(i % 10 == 0 ? 300 : 12);
      for (int k = 0; k < length; k++) {
        device.appendCodePoint(
            random.nextInt(3) == 0 ? random.nextInt(0x1F600) : random.nextInt(128));
      }
      sources.add(
          LaneSamples.named(
              device.toString(),
              LaneSamples.facts(SourceFacts.Kind.RECORDING, 48_000, device + "x", "", "Con"),
              LaneSamples.verdicts(null, 0, 3),
              null));
    }
    Set<String> seen = new HashSet<>();
    List<Lane> lanes = LaneSamples.plan(sources, DriftCorrection.AUTO);
    assertEquals(1200, lanes.size());
    for (Lane lane : lanes) {
      String name = lane.fileName();
      assertTrue(name.matches("[A-Za-z0-9][A-Za-z0-9._-]*\\.wav"), "seed 81: " + name);
      assertTrue(name.getBytes(StandardCharsets.UTF_8).length <= 200, name);
      assertTrue(seen.add(name.toLowerCase(Locale.ROOT)), "twice: " + name);
      String stem = name.substring(0, name.indexOf('.'));
      assertFalse(RESERVED.contains(stem.toUpperCase(Locale.ROOT)), name);
    }
    assertEquals(
        lanes.stream().map(Lane::fileName).toList(),
        LaneSamples.plan(sources, DriftCorrection.AUTO).stream().map(Lane::fileName).toList());
  }

  @Test
  void namesThatDifferOnlyInCaseAreNumbered() {
    List<String> names =
        plan(
                clip("Cam", Relation.SAME_SIGNAL, 0),
                clip("CAM", Relation.SAME_SIGNAL, 0),
                clip("c\u00e4m", Relation.SAME_SIGNAL, 0))
            .stream()
            .map(Lane::fileName)
            .toList();
    assertEquals(List.of("Cam_1_mono.wav", "CAM_1_mono_2.wav", "cam_1_mono_3.wav"), names);
  }

  @Test
  void aRecordersOwnNamesAreKept() {
    LaneSource recording =
        LaneSamples.named(
            "REC",
            LaneSamples.facts(SourceFacts.Kind.RECORDING, 48_000, "Pulpit", " ", "Choir L", ""),
            LaneSamples.verdicts(null, 0, 4),
            null);
    List<Lane> lanes = plan(recording);
    assertEquals(
        List.of("Pulpit", "ch2", "Choir L", "ch4"), lanes.stream().map(Lane::name).toList());
    assertEquals("REC_1_Choir-L.wav", lanes.get(2).fileName());
  }

  @Test
  void whatHasNoPlaceSaysSoInItsName() {
    Placement refused = Placement.refused("nothing in common");
    LaneSource lost =
        LaneSamples.named(
            "CAM-B",
            LaneSamples.facts(SourceFacts.Kind.CLIP, 48_000, "", ""),
            LaneSamples.verdicts(Relation.ISOLATED, 0, 2),
            refused);
    assertEquals(
        List.of("CAM-B_1_left_unplaced.wav", "CAM-B_1_right_unplaced.wav"),
        plan(lost).stream().map(Lane::fileName).toList());
  }

  @ParameterizedTest
  @CsvSource({
    "ISOLATED, 0, microphone microphone",
    "LOWER_COPY, -12, microphone/safety copy",
    "LOWER_COPY, 12, safety copy/microphone",
    "STEREO, 0, stereo left/stereo right",
    "UNKNOWN, 0, microphone microphone",
  })
  void rolesFollowThePair(Relation relation, double gainDb, String roles) {
    List<String> wanted = List.of(roles.split(roles.contains("/") ? "/" : " ", -1));
    assertEquals(wanted, plan(clip("CAM", relation, gainDb)).stream().map(Lane::role).toList());
  }

  /** What a recordist calls a channel says what feeds it. */
  @Test
  void aChannelNamedAfterTheConsoleIsGuessedToComeFromIt() {
    LaneSource recording =
        LaneSamples.named(
            "REC",
            LaneSamples.facts(
                SourceFacts.Kind.RECORDING, 48_000, "Board", "Lapel", "FOH L", "Boardwalk"),
            new Verdicts(
                List.of(
                    LaneSamples.audible(),
                    LaneSamples.audible(),
                    LaneSamples.audible(),
                    LaneSamples.audible()),
                null),
            null);
    assertEquals(
        List.of("console feed", "microphone", "console feed", "microphone"),
        plan(recording).stream().map(Lane::role).toList());
  }

  /** Crosstalk far below the other side is no signal of its own. */
  @ParameterizedTest
  @CsvSource({"-50, 0", "50, 1"})
  void theEmptySideOfAPairGivesNoLane(double gainDb, int channel) {
    List<Lane> lanes = plan(clip("CAM", Relation.ONE_SILENT, gainDb));
    assertEquals(1, lanes.size());
    assertEquals(List.of(channel), lanes.get(0).channels());
  }

  @Test
  void silentChannelsGiveNoLane() {
    List<ChannelVerdict> channels =
        List.of(LaneSamples.channel(true), LaneSamples.audible(), LaneSamples.channel(true));
    LaneSource recording =
        LaneSamples.named(
            "REC",
            LaneSamples.facts(SourceFacts.Kind.RECORDING, 48_000, "", "", ""),
            new Verdicts(channels, null),
            null);
    assertEquals(List.of("ch2"), plan(recording).stream().map(Lane::name).toList());
  }

  @Test
  void theClockIsCorrectedWhereItMatters() {
    // 10 ppm over 1 s is nothing, over an hour it is 36 ms; a quarter frame at 25 fps is 10 ms.
    assertFalse(DriftCorrection.AUTO.applies(SourceClock.straight(0, 10), 1));
    assertTrue(DriftCorrection.AUTO.applies(SourceClock.straight(0, 10), 3600));
    assertTrue(DriftCorrection.AUTO.applies(SourceClock.straight(0, -10), 3600));
    assertFalse(DriftCorrection.AUTO.applies(SourceClock.straight(0, 10), 999));
    assertTrue(DriftCorrection.AUTO.applies(SourceClock.straight(0, 10), 1001));
    assertTrue(DriftCorrection.ON.applies(SourceClock.straight(0, 0.1), 1));
    assertFalse(DriftCorrection.ON.applies(SourceClock.straight(0, 0), 1));
    assertFalse(DriftCorrection.OFF.applies(SourceClock.straight(0, 1000), 36_000));
  }

  @Test
  void anUnplacedSourceIsNeverResampled() {
    Placement ambiguous =
        new Placement(
            Placement.State.AMBIGUOUS, 3.0, 80.0, false, 0.5, 0.1, 9.0, 0, 0, "twice", List.of());
    LaneSource twice =
        LaneSamples.named(
            "CAM",
            LaneSamples.facts(SourceFacts.Kind.CLIP, 44_100, "", ""),
            LaneSamples.verdicts(Relation.ISOLATED, 0, 2),
            ambiguous);
    Lane lane = LaneSamples.plan(List.of(twice), DriftCorrection.ON).get(0);
    assertFalse(lane.resample());
    assertEquals(44_100, lane.format().rateHz());
    assertEquals(null, lane.startFrameOnReference());
  }

  private static List<Lane> plan(LaneSource... sources) {
    return LaneSamples.plan(List.of(sources), DriftCorrection.AUTO);
  }

  private static LaneSource clip(String device, Relation relation, double gainDb) {
    return LaneSamples.named(
        device,
        LaneSamples.facts(SourceFacts.Kind.CLIP, 48_000, "", ""),
        LaneSamples.verdicts(relation, gainDb, 2),
        null);
  }
}
