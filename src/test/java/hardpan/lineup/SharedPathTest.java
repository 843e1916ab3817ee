package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two people take turns at microphones of their own, 2 m apart; a camera hears both at once. */
class SharedPathTest {
  private static final int RATE = 16_000;
  private static final int BLEED_FRAMES = 97;
  private static final double BLEED_SECONDS = (double) BLEED_FRAMES / RATE;
  private static final double TURN_SECONDS = 4;
  private static final double OFFSET_SECONDS = 31.234_567;
  private static final double SLOPE = 70e-6;
  private static final double SECONDS = 40;

  private static Scene scene;
  private static Candidate recorder;
  private static float[] both;

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
    recorder = scene.source("REC", RATE, microphone(one, other, 1), microphone(other, one, 2));
  }

  private static float[] microphone(float[] own, float[] neighbour, long seed) {
    float[] sound = TestSounds.sum(own, TestSounds.noise(seed, own.length, 1e-4));
    for (int i = BLEED_FRAMES; i < sound.length; i++) {
      sound[i] += 0.06f * neighbour[i - BLEED_FRAMES];
    }
    return sound;
  }

  private static Candidate camera(float[] sound) throws Exception {
    double rms = Decibels.toAmplitude(TestSounds.level(sound) - 5);
    return scene.source("CAM", RATE, TestSounds.sum(sound, TestSounds.noise(7, sound.length, rms)));
  }

  private interface Work {
    void with(Proof proof, SharedPath path) throws Exception;
  }

  private static void proved(Candidate clip, Work work) throws Exception {
    try (SourceReader reader = recorder.sound().open()) {
      ReferenceWindows windows = new ReferenceWindows(reader, recorder, RATE);
      FineSearch fine = new FineSearch(clip, windows, recorder.channels(), Monitor.SILENT);
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
          assertPlaced(path.measure(proof, List.of()), proof);
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
          assertPlaced(path.measure(byBleed, List.of(-BLEED_SECONDS)), proof);
        });
  }

  @Test
  void withoutADelayThatServesMostWindowsNothingIsTold() throws Exception {
    float[] sound = TestSounds.read(both, OFFSET_SECONDS * RATE, 1 + SLOPE, (int) (SECONDS * RATE));
    // The second half comes 3 ms late.
    int half = sound.length / 2;
    System.arraycopy(sound.clone(), half, sound, half + 48, half - 48);
    proved(camera(sound), (proof, path) -> assertNull(path.measure(proof, List.of())));
  }
}
