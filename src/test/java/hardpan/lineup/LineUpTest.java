package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.Placement.State;
import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Whole line-ups of made-up scenes whose truth is known. */
class LineUpTest {
  private static final int RATE = 48_000;

  /** Error allowed for the same feed on both devices. */
  private static final double DIRECT_SECONDS = 0.02e-3;

  private static float[] event;
  private static Candidate reference;

  private static Scene scene;

  @BeforeAll
  static void record(@TempDir Path folder) throws Exception {
    scene = new Scene(folder);
    event = TestSounds.talk(51, 180, RATE);
    float[] band = TestSounds.music(52, 180, RATE);
    for (int i = 100 * RATE; i < 140 * RATE; i++) {
      event[i] += 0.6f * band[i];
    }
    reference = scene.source("REC", RATE, event);
  }

  /**
   * What a device with its own clock records of the event.
   *
   * @param offset place on the reference in seconds
   * @param ppm how much slower its clock runs
   */
  private static float[] heard(double offset, double seconds, double ppm, int rateHz) {
    double ratio = (1 + ppm * 1e-6) * RATE / rateHz;
    return TestSounds.read(event, offset * RATE, ratio, (int) (seconds * rateHz));
  }

  private static float[] withNoise(float[] sound, long seed, double snrDb) {
    double rms = Decibels.toAmplitude(TestSounds.level(sound) - snrDb);
    return TestSounds.sum(sound, TestSounds.noise(seed, sound.length, rms));
  }

  private static void assertPlace(
      Placement placement, double offset, double ppm, double seconds, double allowedSeconds) {
    assertEquals(State.PLACED, placement.state(), placement.why());
    Double foundOffset = placement.offsetSeconds();
    Double foundDrift = placement.driftPpm();
    assertNotNull(foundOffset);
    assertNotNull(foundDrift);
    for (double at : new double[] {0, seconds / 2, seconds}) {
      double truth = offset + at * (1 + ppm * 1e-6);
      double found = foundOffset + at * (1 + foundDrift * 1e-6);
      assertEquals(truth, found, allowedSeconds, "at " + at + " s of the clip");
    }
  }

  @ParameterizedTest
  @CsvSource({
    "10.123456, 6, 20, 0, 48000",
    "61.7, 20, 20, 37.5, 48000",
    "33.3331, 20, 0, -100, 48000",
    "25.01, 120, 20, 100, 48000",
    "25.01, 120, 0, -42, 48000",
    "70.5, 30, 20, 20, 44100",
    "102.25, 20, 20, -15, 48000",
    "50.5, 40, 20, 5, 32000",
    "50.5, 40, 20, 5, 96000"
  })
  void theSameFeedLiesWithinTwentyMicroseconds(
      double offset, double seconds, double snrDb, double ppm, int rateHz) throws Exception {
    float[] clip = withNoise(heard(offset, seconds, ppm, rateHz), 1, snrDb);
    Placement placement = Scene.place(scene.source("CAM", rateHz, clip), reference);
    assertPlace(placement, offset, ppm, seconds, DIRECT_SECONDS);
    assertFalse(placement.inverted());
    Double overlap = placement.overlapSeconds();
    assertNotNull(overlap);
    assertEquals(seconds, overlap, 0.1);
    assertTrue(placement.confidence() > 0.8);
    assertTrue(placement.windows().size() >= 3);
  }

  @Test
  void anUpsideDownClipIsPlacedAndCalledInverted() throws Exception {
    float[] clip = TestSounds.gain(withNoise(heard(40, 30, 12, RATE), 2, 20), -0.2);
    Placement placement = Scene.place(scene.source("CAM", RATE, clip), reference);
    assertPlace(placement, 40, 12, 30, DIRECT_SECONDS);
    assertTrue(placement.inverted());
  }

  /** The sum of such a pair would be silence. */
  @Test
  void anInvertedPairIsPlaced() throws Exception {
    float[] left = heard(40, 20, 0, RATE);
    Candidate clip = scene.source("CAM", RATE, left, TestSounds.gain(left, -1));
    assertPlace(Scene.place(clip, reference), 40, 0, 20, DIRECT_SECONDS);
  }

  @ParameterizedTest
  @CsvSource({"-20, 45", "150, 60", "-100, 120", "168, 120"})
  void aClipMayBeginBeforeOrEndAfterTheReference(double offset, double seconds) throws Exception {
    float[] clip = withNoise(heard(offset, seconds, 30, RATE), 3, 25);
    Placement placement = Scene.place(scene.source("CAM", RATE, clip), reference);
    assertEquals(State.PLACED, placement.state(), placement.why());
    Double found = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    assertNotNull(found);
    assertNotNull(drift);
    double middle = (Math.max(0, offset) + Math.min(180, offset + seconds)) / 2 - offset;
    assertEquals(
        offset + middle * (1 + 30e-6), found + middle * (1 + drift * 1e-6), DIRECT_SECONDS);
  }

  /** Twenty minutes of camera around half a minute of recorder. */
  @Test
  void aClipMayBeMuchLongerThanTheReference() throws Exception {
    float[] evening = TestSounds.talk(53, 1200, RATE);
    Candidate clip = scene.source("CAM", RATE, evening);
    float[] shortTake = Scene.piece(evening, 700.25, 30, RATE);
    Candidate take = scene.source("REC", RATE, withNoise(shortTake, 4, 25));
    Placement placement = Scene.place(clip, take);
    assertEquals(State.PLACED, placement.state(), placement.why());
    Double found = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    Double overlap = placement.overlapSeconds();
    assertNotNull(found);
    assertNotNull(drift);
    assertNotNull(overlap);
    assertEquals(15, found + 715.25 * (1 + drift * 1e-6), DIRECT_SECONDS);
    assertEquals(30, overlap, 0.5);
  }

  @Test
  void theChannelThatHearsTheClipIsFoundAmongEight() throws Exception {
    float[][] recorder = new float[8][];
    for (int c = 0; c < 8; c++) {
      recorder[c] = c == 5 ? Scene.piece(event, 0, 90, RATE) : TestSounds.talk(60 + c, 90, RATE);
    }
    Candidate eight = scene.source("REC", RATE, recorder);
    Candidate clip =
        scene.source("CAM", RATE, TestSounds.talk(80, 25, RATE), heard(30.5, 25, 8, RATE));
    Placement placement = Scene.place(clip, eight);
    assertPlace(placement, 30.5, 8, 25, DIRECT_SECONDS);
    assertEquals(1, placement.channel());
    assertEquals(5, placement.referenceChannel());
  }

  @ParameterizedTest
  @CsvSource({"1, 0.5, 1", "2, 1, 2", "3, 1.6, 4"})
  void aFarCameraIsPlacedByItsDirectSound(long seed, double fadeSeconds, double tailShare)
      throws Exception {
    float[] room = TestSounds.room(seed, heard(20, 60, -20, RATE), RATE, fadeSeconds, tailShare);
    Placement placement =
        Scene.place(scene.source("CAM", RATE, withNoise(room, seed, 15)), reference);
    assertPlace(placement, 20, -20, 60, 1e-3);
  }

  /** A console's feed on the left, the camera's own microphone 8 m away on the right. */
  @Test
  void theWayThroughTheAirIsTold() throws Exception {
    float[] feed = withNoise(heard(40, 30, 12, RATE), 11, 25);
    float[] late = new float[feed.length];
    int flight = (int) Math.round(8 / 343.2 * RATE);
    System.arraycopy(heard(40, 30, 12, RATE), 0, late, flight, late.length - flight);
    Candidate clip = scene.source("CAM", RATE, feed, withNoise(late, 12, 20));
    Placement placement = Scene.place(clip, reference);
    assertPlace(placement, 40, 12, 30, DIRECT_SECONDS);
    assertEquals(0, placement.channel());
    assertTrue(
        placement.why().contains("Channel 2 hears it 23.3 ms later: 8.0 m of air."),
        placement.why());
  }

  @Test
  void aCutClipIsPlacedToo() throws Exception {
    float[] hot = TestSounds.cut(TestSounds.gain(heard(80, 30, 15, RATE), 10), -0.5, 0.5);
    assertPlace(Scene.place(scene.source("CAM", RATE, hot), reference), 80, 15, 30, DIRECT_SECONDS);
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9})
  void strangersAreRefused(int group) throws Exception {
    for (int i = 0; i < 4; i++) {
      long seed = 1000 + 4L * group + i;
      double seconds = new double[] {4, 10, 25, 60}[i];
      float[] stranger =
          group % 2 == 0
              ? TestSounds.talk(seed, seconds, RATE)
              : TestSounds.music(seed, seconds, RATE);
      Placement placement = Scene.place(scene.source("CAM", RATE, stranger), reference);
      assertEquals(State.UNPLACED, placement.state(), "seed " + seed + ": " + placement.why());
      assertNull(placement.offsetSeconds());
      assertTrue(placement.why().startsWith("No common sound"), placement.why());
    }
  }

  @Test
  void whatCannotBeComparedIsRefusedWithItsReason() throws Exception {
    Placement silent = Scene.place(scene.source("CAM", RATE, new float[10 * RATE]), reference);
    assertEquals(State.UNPLACED, silent.state());
    assertTrue(silent.why().contains("silent"));
    Candidate clip = scene.source("CAM", RATE, heard(40, 10, 0, RATE));
    Placement against = Scene.place(clip, scene.source("REC", RATE, new float[20 * RATE]));
    assertEquals(State.UNPLACED, against.state());
    assertTrue(against.why().contains("reference is silent"));
    Placement brief = Scene.place(scene.source("CAM", RATE, heard(40, 2, 0, RATE)), reference);
    assertEquals(State.UNPLACED, brief.state());
    assertTrue(brief.why().contains("too short"));
  }

  @Test
  void aRecordingThatWasPlayedTwiceIsAmbiguous() throws Exception {
    float[] twice = event.clone();
    System.arraycopy(event, 30 * RATE, twice, 110 * RATE, 40 * RATE);
    Candidate evening = scene.source("REC", RATE, twice);
    Candidate clip = scene.source("CAM", RATE, withNoise(heard(38, 15, 0, RATE), 5, 25));
    Placement placement = Scene.place(clip, evening);
    assertEquals(State.AMBIGUOUS, placement.state(), placement.why());
    assertTrue(placement.why().contains("Two places"));
    double best = Objects.requireNonNull(placement.offsetSeconds());
    assertEquals(1, placement.otherOffsetsSeconds().size());
    assertEquals(best < 80 ? 118 : 38, placement.otherOffsetsSeconds().get(0), 0.01);
  }

  @Test
  void aShortClipTakesTheClockOfItsDevice() throws Exception {
    double ppm = 47;
    Candidate lengthy = scene.source("CAM", RATE, withNoise(heard(5, 150, ppm, RATE), 6, 15));
    Candidate brief = scene.source("CAM", RATE, withNoise(heard(162, 6, ppm, RATE), 7, 15));
    Map<String, Placement> placements = new LinkedHashMap<>();
    placements.put("long", Scene.place(lengthy, reference));
    placements.put("short", Scene.place(brief, reference));
    Placement steadied = solved(placements, "CAM", "CAM").get("short");
    assertNotNull(steadied);
    Double drift = steadied.driftPpm();
    assertNotNull(drift);
    assertEquals(ppm, drift, 1.5);
    assertPlace(steadied, 162, ppm, 6, DIRECT_SECONDS);
    Placement own = solved(placements, "CAM-A", "CAM-B").get("short");
    Placement alone = placements.get("short");
    assertNotNull(own);
    assertNotNull(alone);
    Double ownDrift = own.driftPpm();
    Double aloneDrift = alone.driftPpm();
    assertNotNull(ownDrift);
    assertNotNull(aloneDrift);
    assertEquals(aloneDrift, ownDrift, 0.1);
  }

  private static Map<String, Placement> solved(
      Map<String, Placement> placements, String longDevice, String shortDevice) {
    List<ShootSolver.Node> nodes =
        List.of(
            new ShootSolver.Node("REC", "REC", 180),
            new ShootSolver.Node("long", longDevice, 150),
            new ShootSolver.Node("short", shortDevice, 6));
    return new ShootSolver(
            nodes,
            "REC",
            Map.of(),
            pairs ->
                pairs.stream()
                    .map(
                        pair ->
                            pair.host().equals("REC")
                                ? placements.getOrDefault(pair.source(), Placement.refused(""))
                                : Placement.refused("It was not compared."))
                    .toList())
        .solve();
  }

  @Test
  void theSameInputGivesTheSamePlace() throws Exception {
    float[] clip = heard(90, 12, 3, RATE);
    Placement first = Scene.place(scene.source("CAM", RATE, clip), reference);
    Placement second =
        Scene.place(scene.source("CAM", RATE, Arrays.copyOf(clip, clip.length)), reference);
    assertEquals(first.offsetSeconds(), second.offsetSeconds());
    assertEquals(first.driftPpm(), second.driftPpm());
  }

  /** A camera that runs 1.2 ppm faster from its middle on, and one that keeps straight. */
  @Test
  void aBentClockIsToldAndAStraightOneIsNot(@TempDir Path folder) throws Exception {
    int rate = 16_000;
    double seconds = 700;
    Scene hall = new Scene(folder);
    float[] evening = TestSounds.talk(91, seconds + 10, rate);
    Candidate recorder = hall.source("REC", rate, evening);
    int half = (int) (seconds / 2 * rate);
    double ratio = 1 + 1.2e-6;
    float[] first = TestSounds.read(evening, 5.0 * rate, 1, half);
    float[] second = TestSounds.read(evening, 5.0 * rate + half, ratio, half);
    float[] bent = Arrays.copyOf(first, 2 * half);
    System.arraycopy(second, 0, bent, half, half);
    Placement placement = Scene.place(hall.source("CAM", rate, bent), recorder);
    assertEquals(State.PLACED, placement.state(), placement.why());
    ClockBend bend = placement.notes().bend();
    assertNotNull(bend, placement.why());
    assertTrue(placement.why().contains("Its clock bends"), placement.why());
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    assertNotNull(offset);
    assertNotNull(drift);
    for (double at : new double[] {20, 350, 680}) {
      double truth = 5 + at + Math.max(0, at - seconds / 2) * 1.2e-6;
      double found = offset + at * (1 + drift * 1e-6) + bend.besideSeconds(at);
      assertEquals(truth, found, 20e-6, "at " + at);
    }
    float[] straight = TestSounds.read(evening, 5.0 * rate, 1 + 20e-6, 2 * half - rate);
    Placement other = Scene.place(hall.source("CAM", rate, straight), recorder);
    assertNull(other.notes().bend(), other.why());
  }
}
