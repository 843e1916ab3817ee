package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import hardpan.signal.Decibels;
import hardpan.signal.StraightLine;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Two people take turns at microphones of their own, 2 m apart; a camera hears both at once. */
class SharedPathTest {
  private static final int RATE = 16_000;
  private static final int BLEED_FRAMES = 97;
  private static final double BLEED_SECONDS = (double) BLEED_FRAMES / RATE;
  private static final double TURN_SECONDS = 4;
  private static final double OFFSET_SECONDS = 31.234_567;
  private static final double SLOPE = 70e-6;
  private static final double SECONDS = 40;
  private static final double ECHO_SECONDS = 0.005;

  private static Scene scene;
  private static Candidate recorder;
  private static float[] both;
  private static List<float[]> talkers;

  @BeforeAll
  static void record(@TempDir Path folder) throws Exception {
    scene = new Scene(folder);
    float[] one = TestSounds.talk(202, 100, RATE);
    float[] other = TestSounds.talk(302, 100, RATE);
    for (int i = 0; i < one.length; i++) {
      boolean first = (int) (i / (TURN_SECONDS * RATE)) % 2 == 0;
      (first ? other : one)[i] = 0;
    }
    both = TestSounds.sum(one, other);
    talkers = List.of(one, other);
    recorder = scene.source("REC", RATE, microphone(one, other, 1), microphone(other, one, 2));
  }

  private static float[] microphone(float[] own, float[] neighbour, long seed) {
    return microphone(own, neighbour, 0.06f, seed);
  }

  private static float[] microphone(float[] own, float[] neighbour, float bleed, long seed) {
    float[] sound = TestSounds.sum(own, TestSounds.noise(seed, own.length, 1e-4));
    for (int i = BLEED_FRAMES; i < sound.length; i++) {
      sound[i] += bleed * neighbour[i - BLEED_FRAMES];
    }
    return sound;
  }

  private static Candidate camera(float[] sound) throws Exception {
    double rms = Decibels.toAmplitude(TestSounds.level(sound) - 5);
    return scene.source("CAM", RATE, TestSounds.sum(sound, TestSounds.noise(7, sound.length, rms)));
  }

  /** Where the windows of the channel that was found best seem to lie. */
  private static StraightLine loose(double besideSeconds) {
    return new StraightLine(OFFSET_SECONDS + besideSeconds, SLOPE, 0.0005, 5);
  }

  private interface Work {
    void with(Proof proof, SharedPath path) throws Exception;
  }

  private static void proved(Candidate clip, Work work) throws Exception {
    proved(clip, recorder, work);
  }

  private static void proved(Candidate clip, Candidate reference, Work work) throws Exception {
    try (SourceReader reader = reference.sound().open()) {
      ReferenceWindows windows = new ReferenceWindows(reader, reference, RATE);
      FineSearch fine = new FineSearch(clip, windows, reference.channels(), Monitor.SILENT);
      Proof proof = fine.prove(OFFSET_SECONDS, false);
      assertNotNull(proof);
      work.with(proof, new SharedPath(windows, Monitor.SILENT));
    }
  }

  private static Candidate both() throws Exception {
    return camera(TestSounds.read(both, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE)));
  }

  private static void assertPlaced(@Nullable Measured measured, Proof proof) {
    assertNotNull(measured);
    int windows = seen(proof).size();
    assertTrue(measured.line().pointsUsed() >= 0.9 * windows, measured.points().size() + " used");
    for (double at : new double[] {0, SECONDS / 2, SECONDS}) {
      assertEquals(OFFSET_SECONDS + SLOPE * at, measured.line().at(at), 0.02e-3, "at " + at);
    }
  }

  @Test
  void everyWindowCountsWhoeverTalks() throws Exception {
    proved(
        both(),
        (proof, path) -> {
          long direct = seen(proof).stream().filter(seen -> isNear(seen, proof.line())).count();
          int windows = seen(proof).size();
          assertTrue(direct < 0.9 * windows, "one microphone hears " + direct + " of " + windows);
          assertPlaced(path.measure(proof, loose(0), List.of(0.0)), proof);
        });
  }

  private static List<Proof.Seen> seen(Proof proof) {
    return proof.seen().getOrDefault(proof.referenceChannel(), List.of());
  }

  private static boolean isNear(Proof.Seen seen, LineVote.Line line) {
    double delay = line.at(seen.middleSeconds(RATE));
    LineVote.Point point = seen.near(delay, 0, RATE);
    return point != null && Math.abs(point.delaySeconds() - delay) <= 0.0003;
  }

  /** By bleed, too, all windows agree with some microphone, but later. */
  @Test
  void theEarlierOfTwoDelaysThatServeAllIsTaken() throws Exception {
    proved(
        both(),
        (proof, path) -> {
          LineVote.Line line = proof.line();
          LineVote.Line late =
              new LineVote.Line(
                  line.interceptSeconds() + BLEED_SECONDS,
                  line.slope(),
                  line.windowsOnLine(),
                  line.windows(),
                  line.heightSum(),
                  line.chanceLog10());
          Proof byBleed =
              new Proof(proof.channel(), proof.referenceChannel(), late, proof.seen(), List.of());
          assertPlaced(
              path.measure(byBleed, loose(BLEED_SECONDS), List.of(-BLEED_SECONDS, 0.0)), proof);
        });
  }

  @Test
  void withoutADelayThatServesMostWindowsNothingIsTold() throws Exception {
    float[] sound = TestSounds.read(both, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    // The second half comes 3 ms late.
    int half = sound.length / 2;
    System.arraycopy(sound.clone(), half, sound, half + 48, half - 48);
    proved(
        camera(sound),
        (proof, path) -> assertNull(path.measure(proof, loose(0.0015), List.of(0.0, 0.003))));
  }

  /** The camera stands in a room whose wall gives all sound back after 5 ms, at half the height. */
  @Test
  void anEarlierDelayThatServesAllLessWellIsAnEcho() throws Exception {
    float[] sound = TestSounds.read(both, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    float[] echoing = sound.clone();
    add(sound, (int) Math.round(ECHO_SECONDS * RATE), 0.5, echoing);
    proved(
        camera(echoing),
        (proof, path) -> {
          long heard = seen(proof).stream().filter(one -> hearsEcho(one.window(), proof)).count();
          assertTrue(heard >= 0.9 * seen(proof).size(), heard + " windows hear the echo");
          assertPlaced(path.measure(proof, loose(0), List.of(-ECHO_SECONDS, 0.0)), proof);
        });
  }

  private static boolean hearsEcho(ClipWindows.Window window, Proof proof) {
    return proof.seen().values().stream()
        .flatMap(List::stream)
        .filter(seen -> seen.window().equals(window))
        .anyMatch(
            seen -> {
              double delay = proof.line().at(seen.middleSeconds(RATE)) - ECHO_SECONDS;
              LineVote.Point point = seen.near(delay, 0, RATE);
              return point != null
                  && Math.abs(point.height()) >= 7
                  && Math.abs(point.delaySeconds() - delay) <= 0.0003;
            });
  }

  @Test
  void aPlaceFarFromWhereTheWindowsLieIsNotTold() throws Exception {
    proved(both(), (proof, path) -> assertNotNull(path.measure(proof, loose(0.01), List.of(0.0))));
    proved(both(), (proof, path) -> assertNull(path.measure(proof, loose(0.015), List.of(0.0))));
  }

  /** The last of the clip is of another evening: it is not on the line, and that is told. */
  @Test
  void windowsThatNoMicrophoneHearsThereAreToldToo() throws Exception {
    float[] sound = TestSounds.read(both, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    float[] other = TestSounds.talk(402, SECONDS, RATE);
    int from = (int) (0.8 * sound.length);
    System.arraycopy(other, from, sound, from, sound.length - from);
    proved(
        camera(sound),
        (proof, path) -> {
          Measured measured = path.measure(proof, loose(0), List.of(0.0));
          assertNotNull(measured);
          int windows = seen(proof).size();
          assertTrue(measured.line().pointsUsed() < 0.9 * windows, "all are on the line");
          assertTrue(measured.points().size() > measured.line().pointsUsed(), "none is told");
        });
  }

  /** What is told is the polarity against the channel that is named, not that of most windows. */
  @Test
  void anUpsideDownMicrophoneDoesNotTurnAnother() throws Exception {
    float[] upright = microphone(talkers.get(0), talkers.get(1), 1);
    float[] turned = TestSounds.gain(microphone(talkers.get(1), talkers.get(0), 2), -1);
    Candidate mixed = scene.source("REC", RATE, upright, turned);
    proved(
        both(),
        mixed,
        (proof, path) -> {
          Measured measured = path.measure(proof, loose(0), List.of(0.0));
          assertPlaced(measured, proof);
          assertNotNull(measured);
          assertEquals(measured.referenceChannel() == 1, measured.inverted());
        });
  }

  /**
   * One of the two microphones goes to the camera too. It has the other speaker by bleed, whom his
   * own microphone hears earlier; but there not all windows are on one line.
   */
  @Test
  void aMicrophoneThatTheCameraSharesIsNotTakenForItsNeighbour() throws Exception {
    float[] first = microphone(talkers.get(0), talkers.get(1), 0.5f, 1);
    float[] shared = microphone(talkers.get(1), talkers.get(0), 0.5f, 2);
    Candidate close = scene.source("REC", RATE, first, shared);
    float[] clip =
        TestSounds.read(shared, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    Placement placement = Scene.place(camera(clip), close);
    assertEquals(Placement.State.PLACED, placement.state(), placement.why());
    Double offset = placement.offsetSeconds();
    assertNotNull(offset);
    assertEquals(OFFSET_SECONDS, offset, 0.02e-3, placement.why());
    assertEquals(1, placement.referenceChannel());
    assertFalse(placement.inverted());
    // The neighbour's microphone said otherwise.
    assertTrue(placement.confidence() < 0.9, "confidence " + placement.confidence());
  }

  /**
   * The same feed on both channels, a table and a wall in the camera's room: nobody takes turns.
   */
  @ParameterizedTest
  @CsvSource({"1, 1.0", "1, 1.5", "2, 1.0", "2, 1.5"})
  void aStrongEchoIsNotTakenForAnEarlierMicrophone(long seed, float echo) throws Exception {
    float[] talk = TestSounds.talk(400 + seed, 100, RATE);
    float[] louder = TestSounds.sum(talk, TestSounds.noise(1, talk.length, 1e-4));
    float[] softer =
        TestSounds.sum(TestSounds.gain(talk, 0.7), TestSounds.noise(2, talk.length, 1e-4));
    float[] direct =
        TestSounds.read(talk, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    float[] heard = direct.clone();
    int wall = (int) Math.round(0.008 * RATE);
    add(direct, (int) Math.round(0.0007 * RATE), 1, heard);
    add(direct, wall, echo, heard);
    // A room's tail, which tells on which side the echoes are.
    Random dice = new Random(seed);
    for (int i = 0; i < 60; i++) {
      int late = wall + 30 + dice.nextInt(RATE / 10);
      add(direct, late, 0.25 * dice.nextGaussian() * Math.exp((wall - late) / 700.0), heard);
    }
    Placement placement = Scene.place(camera(heard), scene.source("REC", RATE, louder, softer));
    Double offset = placement.offsetSeconds();
    assertNotNull(offset, placement.why());
    assertEquals(OFFSET_SECONDS, offset, 1e-3, "seed " + seed + ": " + placement.why());
  }

  private static void add(float[] sound, int late, double gain, float[] sum) {
    for (int i = late; i < sum.length; i++) {
      sum[i] += (float) (gain * sound[i - late]);
    }
  }
}
