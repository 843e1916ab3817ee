package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import hardpan.verdict.PairVerdict.Relation;
import java.nio.file.Path;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class PairTest {
  private static final double SECONDS = 12;
  private static final float[] FIRST = TestSounds.gain(TestSounds.talk(31, SECONDS, RATE), 0.5);
  private static final float[] SECOND = TestSounds.gain(TestSounds.talk(32, SECONDS, RATE), 0.5);
  private static final float[] MUSIC = TestSounds.gain(TestSounds.music(33, SECONDS, RATE), 0.5);

  private static float[] noise(long seed, double db) {
    return TestSounds.noise(seed, FIRST.length, Decibels.toAmplitude(db));
  }

  /** A sound only in every other stretch of three seconds. */
  private static float[] turns(float[] sound, int which) {
    float[] result = sound.clone();
    for (int i = 0; i < result.length; i++) {
      if (i / (3 * RATE) % 2 != which) {
        result[i] = 0;
      }
    }
    return result;
  }

  private static float[] later(float[] sound, double seconds, double db) {
    return TestSounds.gain(
        TestSounds.read(sound, -seconds * RATE, 1, sound.length), Decibels.toAmplitude(db));
  }

  private static PairVerdict pair(String codec, Path folder, float[] left, float[] right)
      throws Exception {
    PairVerdict verdict = Judged.through(codec, folder, left, right).pair();
    assertNotNull(verdict);
    return verdict;
  }

  private static double given(@Nullable Double figure) {
    assertNotNull(figure);
    return figure;
  }

  @ParameterizedTest
  @CsvSource({
    "pcm, -10",
    "pcm, -20",
    "pcm, -30",
    "aac-192000, -10",
    "aac-128000, -20",
    "aac-96000, -30"
  })
  void twoMicrophonesThatHearEachOtherALittleAreIsolated(
      String codec, double bleed, @TempDir Path folder) throws Exception {
    float[] a = turns(FIRST, 0);
    float[] b = turns(SECOND, 1);
    float[] left = TestSounds.sum(TestSounds.sum(a, later(b, 0.006, bleed)), noise(1, -70));
    float[] right = TestSounds.sum(TestSounds.sum(b, later(a, 0.006, bleed)), noise(2, -70));
    PairVerdict verdict = pair(codec, folder, left, right);
    assertEquals(Relation.ISOLATED, verdict.relation());
    Double found = verdict.bleedDb();
    assertNotNull(found);
    assertEquals(bleed, found, 3);
  }

  @ParameterizedTest
  @CsvSource({"pcm, -10", "pcm, -20", "pcm, -30", "aac-192000, -10", "aac-96000, -20"})
  void oneTalkerOnlyLeavesTheOtherMicrophoneItsBleed(
      String codec, double bleed, @TempDir Path folder) throws Exception {
    float[] left = TestSounds.sum(FIRST, noise(3, -70));
    float[] right = TestSounds.sum(later(FIRST, 0.006, bleed), noise(4, -70));
    assertEquals(Relation.ISOLATED, pair(codec, folder, left, right).relation());
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000", "aac-96000"})
  void bothTalkingAtOnceStaysIsolated(String codec, @TempDir Path folder) throws Exception {
    float[] left = TestSounds.sum(FIRST, later(SECOND, 0.006, -15));
    float[] right = TestSounds.sum(SECOND, later(FIRST, 0.006, -15));
    assertEquals(Relation.ISOLATED, pair(codec, folder, left, right).relation());
    // A microphone and an unrelated feed of music.
    assertEquals(Relation.ISOLATED, pair(codec, folder, FIRST, MUSIC).relation());
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000", "aac-96000"})
  void theSameSignalTwiceIsCalledSo(String codec, @TempDir Path folder) throws Exception {
    for (float[] sound : new float[][] {FIRST, MUSIC}) {
      assertEquals(Relation.SAME_SIGNAL, pair(codec, folder, sound, sound).relation());
      float[] left = TestSounds.sum(sound, noise(5, -60));
      float[] right = TestSounds.sum(sound, noise(6, -60));
      PairVerdict verdict = pair(codec, folder, left, right);
      assertEquals(Relation.SAME_SIGNAL, verdict.relation());
      assertEquals(0, given(verdict.gainDifferenceDb()), 0.3);
      assertTrue(given(verdict.correlation()) > 0.98);
      assertNull(verdict.bleedDb());
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-128000"})
  void theSameSignalCutOnBothSidesStaysTheSame(String codec, @TempDir Path folder)
      throws Exception {
    float[] hot = TestSounds.cut(TestSounds.gain(FIRST, 10), -0.5, 0.5);
    float[] left = TestSounds.sum(hot, noise(7, -70));
    float[] right = TestSounds.sum(hot, noise(8, -70));
    assertEquals(Relation.SAME_SIGNAL, pair(codec, folder, left, right).relation());
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000", "aac-96000"})
  void anUpsideDownTwinIsInverted(String codec, @TempDir Path folder) throws Exception {
    float[] right = TestSounds.sum(TestSounds.gain(FIRST, -1), noise(9, -65));
    PairVerdict verdict = pair(codec, folder, FIRST, right);
    assertEquals(Relation.INVERTED, verdict.relation());
    assertTrue(given(verdict.correlation()) < -0.98);
    assertTrue(verdict.confidence() > 0.8);
  }

  @ParameterizedTest
  @CsvSource({
    "pcm, -6",
    "pcm, -12",
    "pcm, -20",
    "aac-192000, -6",
    "aac-192000, -20",
    "aac-128000, -12"
  })
  void aLowerCopyIsFoundEvenWhereTheHotSideIsCut(String codec, double db, @TempDir Path folder)
      throws Exception {
    float[] low = TestSounds.gain(FIRST, Decibels.toAmplitude(db));
    PairVerdict clean = pair(codec, folder, FIRST, low);
    assertEquals(Relation.LOWER_COPY, clean.relation());
    assertEquals(db, given(clean.gainDifferenceDb()), 0.7);
    // Cut in the loud moments, and cut nearly all the time.
    for (double tooHotDb : new double[] {8, 18}) {
      float[] hot = TestSounds.gain(FIRST, Decibels.toAmplitude(tooHotDb));
      float[] lower = TestSounds.gain(FIRST, Decibels.toAmplitude(tooHotDb + db));
      float[] cut = TestSounds.cut(hot, -0.5, 0.5);
      float[] safe = TestSounds.cut(lower, -0.5, 0.5);
      PairVerdict verdict = pair(codec, folder, cut, safe);
      assertEquals(Relation.LOWER_COPY, verdict.relation(), tooHotDb + " dB too hot");
      assertEquals(db, given(verdict.gainDifferenceDb()), 2, tooHotDb + " dB too hot");
    }
  }

  /** What cutting did to the hot side is no second microphone. */
  @ParameterizedTest
  @CsvSource({"aac-96000, -13, 12", "aac-128000, -9, 15", "aac-192000, -7, 18"})
  void aCopyOfAFeedThatIsCutNearlyThroughoutIsStillACopy(
      String codec, double db, double tooHotDb, @TempDir Path folder) throws Exception {
    for (float[] sound : new float[][] {FIRST, MUSIC}) {
      float[] hot = TestSounds.gain(sound, Decibels.toAmplitude(tooHotDb));
      float[] cut = TestSounds.cut(hot, -0.6, 0.6);
      float[] low = TestSounds.cut(TestSounds.gain(hot, Decibels.toAmplitude(db)), -0.6, 0.6);
      assertEquals(Relation.LOWER_COPY, pair(codec, folder, cut, low).relation());
      assertEquals(Relation.LOWER_COPY, pair(codec, folder, low, cut).relation());
    }
  }

  /** A far camera's pair: little direct sound, and a room that reaches both sides differently. */
  @ParameterizedTest
  @CsvSource({
    "pcm, 0.0003, 0.3, 0.5",
    "pcm, 0.0005, 1.5, 1",
    "pcm, 0.0005, 2, 3",
    "pcm, 0.0008, 1.2, 4",
    "aac-192000, 0.0005, 2, 3",
    "aac-96000, 0.0005, 1.5, 2"
  })
  void oneSceneFromTwoPlacesIsStereo(
      String codec, double apartSeconds, double fadeSeconds, double tailShare, @TempDir Path folder)
      throws Exception {
    for (float[] sound :
        new float[][] {FIRST, TestSounds.sum(FIRST, later(SECOND, 0, -3)), MUSIC}) {
      float[] left = TestSounds.room(41, sound, RATE, fadeSeconds, tailShare);
      float[] right =
          TestSounds.room(42, later(sound, apartSeconds, -0.5), RATE, fadeSeconds, tailShare);
      PairVerdict verdict =
          pair(
              codec,
              folder,
              TestSounds.sum(TestSounds.gain(left, 0.3), noise(10, -62)),
              TestSounds.sum(TestSounds.gain(right, 0.3), noise(11, -62)));
      assertEquals(
          Relation.STEREO,
          verdict.relation(),
          "correlation " + verdict.correlation() + " lag " + verdict.lagSeconds());
      assertEquals(apartSeconds, given(verdict.lagSeconds()), 0.0006);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"pcm", "aac-192000", "aac-96000"})
  void anUnpluggedSideIsSilent(String codec, @TempDir Path folder) throws Exception {
    float[] left = TestSounds.sum(FIRST, noise(12, -70));
    float[][] others = {
      new float[FIRST.length],
      noise(13, -60),
      noise(14, -80),
      TestSounds.sum(later(FIRST, 0, -50), noise(15, -80))
    };
    for (int i = 0; i < others.length; i++) {
      PairVerdict right = pair(codec, folder, left, others[i]);
      assertEquals(Relation.ONE_SILENT, right.relation(), "right " + i);
      PairVerdict other = pair(codec, folder, others[i], left);
      assertEquals(Relation.ONE_SILENT, other.relation(), "left " + i);
      assertNull(right.lagSeconds());
      assertNull(other.lagSeconds());
    }
  }

  @Test
  void nothingOnEitherSideIsBothSilent() {
    PairVerdict zero = Judged.straight(new float[RATE], new float[RATE]).pair();
    assertNotNull(zero);
    assertEquals(Relation.BOTH_SILENT, zero.relation());
    assertNull(zero.correlation());
    assertNull(zero.gainDifferenceDb());
    assertNull(zero.lagSeconds());
    PairVerdict faint = Judged.straight(noise(16, -80), noise(17, -80)).pair();
    assertNotNull(faint);
    assertEquals(Relation.BOTH_SILENT, faint.relation());
  }

  @Test
  void aSideWithoutASingleSampleHasNoFiguresMadeUp() {
    PairVerdict verdict = Judged.straight(FIRST, new float[FIRST.length]).pair();
    assertNotNull(verdict);
    assertEquals(Relation.ONE_SILENT, verdict.relation());
    assertNull(verdict.correlation());
    assertNull(verdict.gainDifferenceDb());
    assertNull(verdict.lagSeconds());
    assertNull(verdict.bleedDb());
  }

  /** A console's line output beside a passive lavalier: 30 to 45 dB apart, both with a talker. */
  @ParameterizedTest
  @CsvSource({"pcm, -30", "pcm, -38", "pcm, -45", "aac-192000, -38", "aac-96000, -30"})
  void aQuietMicrophoneBesideALoudConsoleIsKept(String codec, double db, @TempDir Path folder)
      throws Exception {
    float[] console = TestSounds.gain(FIRST, 1.9);
    float[] lavalier = TestSounds.sum(later(SECOND, 0, db), noise(18, db - 40));
    float[] crossed = TestSounds.sum(lavalier, later(console, 0, -60));
    for (float[] quiet : new float[][] {lavalier, crossed}) {
      PairVerdict right = pair(codec, folder, console, quiet);
      assertEquals(Relation.ISOLATED, right.relation(), "correlation " + right.correlation());
      assertEquals(Relation.ISOLATED, pair(codec, folder, quiet, console).relation());
    }
  }

  /** One sentence in a long take leaves nine tenths of the quiet side steady. */
  @Test
  void oneSentenceInSteadyNoiseIsProgrammeOfItsOwn() {
    float[] loud = TestSounds.gain(TestSounds.talk(19, 120, RATE), 0.9);
    float[] quiet = TestSounds.noise(20, loud.length, Decibels.toAmplitude(-75));
    float[] sentence = TestSounds.gain(TestSounds.talk(21, 5, RATE), Decibels.toAmplitude(-25));
    for (int i = 0; i < sentence.length; i++) {
      quiet[40 * RATE + i] += sentence[i];
    }
    PairVerdict verdict = Judged.straight(loud, quiet).pair();
    assertNotNull(verdict);
    assertEquals(Relation.ISOLATED, verdict.relation());
  }

  @ParameterizedTest
  @ValueSource(ints = {51, 52, 53, 54, 55, 56})
  void independentTalkAtOnceHasNeitherLagNorBleed(int seed) {
    float[] left = TestSounds.gain(TestSounds.talk(seed, 40, RATE), 0.5);
    float[] right = TestSounds.gain(TestSounds.talk(seed + 100, 40, RATE), 0.5);
    float[] leftNoise = TestSounds.noise(seed, left.length, Decibels.toAmplitude(-70));
    float[] rightNoise =
        TestSounds.noise(9_000_011L * seed, left.length, Decibels.toAmplitude(-70));
    PairVerdict verdict =
        Judged.straight(TestSounds.sum(left, leftNoise), TestSounds.sum(right, rightNoise)).pair();
    assertNotNull(verdict);
    assertEquals(Relation.ISOLATED, verdict.relation());
    assertNull(verdict.lagSeconds(), "seed " + seed);
    assertNull(verdict.bleedDb(), "seed " + seed);
    assertNotNull(verdict.correlation());
  }

  @ParameterizedTest
  @CsvSource({
    "61, -12", "61, -20", "61, -28", "62, -12", "62, -20", "62, -28", "63, -12", "63, -20",
    "63, -28"
  })
  void bleedIsMeasuredWhileBothTalkAtOnce(int seed, double db) {
    float[] a = TestSounds.gain(TestSounds.talk(seed, 40, RATE), 0.4);
    float[] b = TestSounds.gain(TestSounds.talk(seed + 100, 40, RATE), 0.4);
    float[] leftNoise = TestSounds.noise(seed, a.length, Decibels.toAmplitude(-75));
    float[] rightNoise = TestSounds.noise(seed + 1, a.length, Decibels.toAmplitude(-75));
    float[] left = TestSounds.sum(TestSounds.sum(a, later(b, 0.006, db)), leftNoise);
    float[] right = TestSounds.sum(TestSounds.sum(b, later(a, 0.006, db)), rightNoise);
    float[] deaf = TestSounds.sum(b, rightNoise);
    for (float[] other : new float[][] {right, deaf}) {
      PairVerdict verdict = Judged.straight(left, other).pair();
      assertNotNull(verdict);
      assertEquals(Relation.ISOLATED, verdict.relation());
      String told = "seed " + seed + " lag " + verdict.lagSeconds();
      assertEquals(0.006, Math.abs(given(verdict.lagSeconds())), 0.0002, told);
      Double found = verdict.bleedDb();
      assertNotNull(found, told);
      assertEquals(db, found, 3, told);
    }
  }

  @Test
  void tooLittleSoundIsUnknown() {
    float[] left = Arrays.copyOfRange(FIRST, RATE, RATE + 16_000);
    float[] right = Arrays.copyOfRange(SECOND, RATE, RATE + 16_000);
    PairVerdict verdict = Judged.straight(left, right).pair();
    assertNotNull(verdict);
    assertEquals(Relation.UNKNOWN, verdict.relation());
    assertTrue(verdict.confidence() < 0.5);
  }

  @Test
  void aRecordingAndAMonoClipHaveNoPair() {
    assertNull(Judged.straight(FIRST).pair());
    assertNull(Judged.straight(FIRST, FIRST, FIRST).pair());
  }
}
