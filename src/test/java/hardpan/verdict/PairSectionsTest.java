package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import hardpan.verdict.PairVerdict.Relation;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PairSectionsTest {
  private static final int SECONDS = 30;
  private static final int CHANGE = 18 * RATE;
  private static final float[] FIRST = TestSounds.gain(TestSounds.talk(71, SECONDS, RATE), 0.4);
  private static final float[] SECOND = TestSounds.gain(TestSounds.talk(72, SECONDS, RATE), 0.4);

  private static float[] noise(long seed, double db) {
    return TestSounds.noise(seed, FIRST.length, Decibels.toAmplitude(db));
  }

  /** A microphone in a room: its talker and the room's own noise. */
  private static float[] microphone(float[] voice, long seed) {
    return TestSounds.sum(voice, noise(seed, -60));
  }

  private static float[] then(float[] before, float[] after) {
    float[] joined = before.clone();
    System.arraycopy(after, CHANGE, joined, CHANGE, joined.length - CHANGE);
    return joined;
  }

  private static PairVerdict pair(String codec, Path folder, float[] left, float[] right)
      throws Exception {
    float[] noisyLeft = TestSounds.sum(left, noise(1, -80));
    float[] noisyRight = TestSounds.sum(right, noise(2, -80));
    PairVerdict verdict = Judged.through(codec, folder, noisyLeft, noisyRight).pair();
    assertNotNull(verdict);
    return verdict;
  }

  private static void expect(PairVerdict verdict, Relation first, Relation second) {
    List<Relation> words = verdict.sections().stream().map(PairVerdict.Section::relation).toList();
    assertEquals(List.of(first, second), words, verdict.toString());
    assertEquals(0, verdict.sections().get(0).span().startFrame());
    assertEquals(CHANGE, (double) verdict.sections().get(1).span().startFrame(), RATE);
    // The longer part speaks for the clip.
    assertEquals(first, verdict.relation());
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000"})
  void aPulledPlugIsToldWithItsPlace(String codec, @TempDir Path folder) throws Exception {
    float[] left = microphone(FIRST, 3);
    float[] right = microphone(SECOND, 4);
    float[] nothing = new float[FIRST.length];
    expect(pair(codec, folder, left, then(right, nothing)), Relation.ISOLATED, Relation.ONE_SILENT);
    expect(
        pair(codec, folder, then(left, nothing), left), Relation.SAME_SIGNAL, Relation.ONE_SILENT);
    expect(
        pair(codec, folder, then(left, nothing), then(right, nothing)),
        Relation.ISOLATED,
        Relation.BOTH_SILENT);
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000"})
  void anotherCableIsToldWithItsPlace(String codec, @TempDir Path folder) throws Exception {
    float[] left = microphone(FIRST, 5);
    float[] right = microphone(SECOND, 6);
    float[] inverted = TestSounds.gain(left, -1);
    expect(
        pair(codec, folder, left, then(inverted, left)), Relation.INVERTED, Relation.SAME_SIGNAL);
    expect(pair(codec, folder, left, then(left, right)), Relation.SAME_SIGNAL, Relation.ISOLATED);
  }

  @Test
  void theChangeIsAFindingOnBothSides() {
    float[] left = microphone(FIRST, 7);
    float[] right = then(left, microphone(SECOND, 8));
    for (ChannelVerdict channel : Judged.straight(left, right).channels()) {
      Finding finding =
          channel.findings().stream()
              .filter(one -> one.code().equals("pair-changes"))
              .findFirst()
              .orElseThrow();
      assertEquals(2, finding.evidence().get("sections"));
      assertEquals(1, finding.spans().size());
    }
  }

  /** A talker who is quiet for ten seconds is no pulled plug: the microphone hears the room. */
  @Test
  void aLongPauseIsNoChange(@TempDir Path folder) throws Exception {
    float[] quiet = SECOND.clone();
    for (int i = CHANGE; i < CHANGE + 10 * RATE; i++) {
      quiet[i] = 0;
    }
    PairVerdict verdict = pair("pcm", folder, microphone(FIRST, 9), microphone(quiet, 10));
    assertEquals(Relation.ISOLATED, verdict.relation());
    assertTrue(verdict.sections().isEmpty(), verdict.toString());
  }

  /** A stereo mix in which for a time only the middle sounds. */
  @Test
  void aMixWithALonelyMiddleIsNoChange(@TempDir Path folder) throws Exception {
    float[] guitar = TestSounds.gain(TestSounds.music(73, SECONDS, RATE), 0.4);
    float[] piano = TestSounds.gain(TestSounds.music(74, SECONDS, RATE), 0.4);
    float[] left = then(TestSounds.sum(FIRST, guitar), FIRST);
    float[] right = then(TestSounds.sum(FIRST, piano), FIRST);
    PairVerdict verdict = pair("pcm", folder, left, right);
    assertTrue(verdict.sections().isEmpty(), verdict.toString());
  }
}
