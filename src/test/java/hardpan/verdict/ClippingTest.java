package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Span;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ClippingTest {
  private static final float[] TALK = TestSounds.talk(21, 12, RATE);
  private static final float[] MUSIC = TestSounds.music(22, 12, RATE);

  private static Clipping straight(float[] sound) {
    return Judged.straight(sound).channels().get(0).clipping();
  }

  private static double ceilingOf(Clipping clipping) {
    assertTrue(clipping.clipped());
    Double ceiling = clipping.ceilingDbfs();
    assertNotNull(ceiling);
    return ceiling;
  }

  /** Cut off at full scale or, by an analogue stage, below it, at both usual bit depths. */
  @ParameterizedTest
  @CsvSource({
    "0, 16, 3",
    "0, 24, 12",
    "-3, 16, 6",
    "-6, 24, 3",
    "-12, 16, 20",
    "-20, 16, 3",
    "-20, 24, 6"
  })
  void cutTopsAreFoundAtAnyCeiling(double ceilingDbfs, int bits, double tooHotDb) {
    double ceiling = Decibels.toAmplitude(ceilingDbfs);
    for (float[] sound : new float[][] {TALK, MUSIC}) {
      float[] hot = TestSounds.gain(sound, ceiling * Decibels.toAmplitude(tooHotDb));
      Clipping clipping =
          straight(TestSounds.rounded(TestSounds.cut(hot, -ceiling, ceiling), bits));
      assertEquals(ceilingDbfs, ceilingOf(clipping), 0.1);
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {-65, -75, -90})
  void aLittleNoiseAfterTheCutDoesNotHideIt(double noiseDb) {
    float[] cut = TestSounds.cut(TestSounds.gain(TALK, 2), -0.5, 0.5);
    float[] noise = TestSounds.noise(3, cut.length, 0.5 * Decibels.toAmplitude(noiseDb));
    assertEquals(-6.02, ceilingOf(straight(TestSounds.sum(cut, noise))), 0.2);
  }

  @Test
  void theTwoHalvesOfTheWaveMayHaveDifferentCeilings() {
    Clipping both = straight(TestSounds.cut(TestSounds.gain(TALK, 2.5), -0.3, 0.6));
    assertEquals(Decibels.ofAmplitude(0.6), ceilingOf(both), 0.1);
    assertEquals(Decibels.ofAmplitude(0.6), orNaN(both.positiveDbfs()), 0.1);
    assertEquals(Decibels.ofAmplitude(0.3), orNaN(both.negativeDbfs()), 0.1);
    assertEquals(Clipping.Shape.HARD, both.shape());
    float[] negative = TestSounds.cut(TestSounds.gain(TALK, 0.9), -0.2, 2);
    assertEquals(Decibels.ofAmplitude(0.2), ceilingOf(straight(negative)), 0.1);
    assertNull(straight(negative).positiveDbfs());
  }

  private static double orNaN(@Nullable Double value) {
    return value == null ? Double.NaN : value;
  }

  /** A stage that bends before it stops: y = x / (1 + |x / 0.5|^8)^(1/8). */
  @Test
  void aBentStageIsToldFromAHardOne() {
    float[] bent = TestSounds.gain(TALK, 2.5);
    for (int i = 0; i < bent.length; i++) {
      bent[i] /= (float) Math.pow(1 + Math.pow(Math.abs(bent[i]) / 0.5, 8), 1 / 8.0);
    }
    assertEquals(Clipping.Shape.SOFT, straight(bent).shape());
    assertEquals(Clipping.Shape.NONE, straight(TALK).shape());
  }

  @Test
  void spansLieWhereTheSoundIsCutWithinFiveMilliseconds() {
    float[] sound = TestSounds.gain(TALK, 0.3);
    for (double second : new double[] {2, 5, 9}) {
      int from = (int) (second * RATE);
      float[] burst = TestSounds.sine(300, RATE, RATE / 2, 1.8, 0);
      System.arraycopy(TestSounds.cut(burst, -0.7, 0.7), 0, sound, from, burst.length);
    }
    Clipping clipping = straight(sound);
    assertEquals(3, clipping.spans().size());
    for (int i = 0; i < 3; i++) {
      Span span = clipping.spans().get(i);
      double second = new double[] {2, 5, 9}[i];
      assertEquals(second, span.startFrame() / (double) RATE, 0.005);
      assertEquals(second + 0.5, span.endFrame() / (double) RATE, 0.005);
    }
    assertEquals(1.5, clipping.clippedSeconds(), 0.03);
  }

  @ParameterizedTest
  @ValueSource(doubles = {50, 100, 440, 1000, 3000, 4987, 5000, 8000, 12_000})
  void fullScaleTonesAreNotCut(double hz) {
    float[] tone = TestSounds.sine(hz, RATE, 3 * RATE, 32_767.0 / 32_768, 0.4);
    assertFalse(straight(TestSounds.rounded(tone, 16)).clipped());
  }

  @Test
  void silenceStepsAndRampsAreNotCut() {
    assertFalse(straight(new float[RATE]).clipped());
    float[] steps = new float[4 * RATE];
    for (int i = 0; i < steps.length; i++) {
      steps[i] = i / (RATE / 4) % 2 == 0 ? 0.8f : -0.3f;
    }
    assertFalse(straight(steps).clipped());
    float[] offset = TestSounds.sum(TestSounds.gain(TALK, 0.3), constant(TALK.length, 0.4f));
    assertFalse(straight(offset).clipped());
  }

  private static float[] constant(int length, float value) {
    float[] result = new float[length];
    Arrays.fill(result, value);
    return result;
  }

  @Test
  void loudNoiseThatTouchesFullScaleOnceIsNotCut() {
    float[] noise = TestSounds.noise(4, 10 * RATE, 0.25);
    int top = 0;
    for (int i = 0; i < noise.length; i++) {
      top = noise[i] > noise[top] ? i : top;
    }
    noise = TestSounds.gain(noise, 1.02 / noise[top]);
    assertFalse(straight(TestSounds.rounded(noise, 16)).clipped());
  }

  /** Every peak comes to the ceiling and stays round. */
  @ParameterizedTest
  @ValueSource(doubles = {2, 4, 8})
  void limitedSoundIsNotCut(double drive) {
    for (float[] sound : new float[][] {TALK, MUSIC}) {
      assertFalse(straight(TestSounds.rounded(limited(sound, drive), 16)).clipped());
    }
  }

  /** A limiter that looks 5 ms ahead: the lowest gain needed, smoothed over the same time. */
  private static float[] limited(float[] sound, double drive) {
    int reach = RATE / 200;
    double[] gain = new double[sound.length + 1];
    float[] result = new float[sound.length];
    double[] needed = new double[sound.length];
    for (int i = 0; i < sound.length; i++) {
      needed[i] = Math.min(1, 0.9 / Math.max(1e-9, drive * Math.abs(sound[i])));
    }
    double[] lowest = new double[sound.length];
    Arrays.fill(lowest, 1);
    for (int i = 0; i < sound.length; i++) {
      if (needed[i] < 1) {
        for (int k = Math.max(0, i - reach); k <= Math.min(sound.length - 1, i + reach); k++) {
          lowest[k] = Math.min(lowest[k], needed[i]);
        }
      }
    }
    for (int i = 0; i < sound.length; i++) {
      gain[i + 1] = gain[i] + lowest[i];
    }
    for (int i = 0; i < sound.length; i++) {
      int from = Math.max(0, i - reach);
      int to = Math.min(sound.length, i + reach + 1);
      result[i] = (float) (drive * sound[i] * (gain[to] - gain[from]) / (to - from));
    }
    return result;
  }

  @ParameterizedTest
  @ValueSource(strings = {"aac-192000", "aac-128000", "ac3-192000"})
  void aCodecDoesNotHideTheCut(String codec, @TempDir Path folder) throws Exception {
    for (float[] sound : new float[][] {TALK, MUSIC}) {
      for (double tooHotDb : new double[] {10, 20}) {
        float[] hot = TestSounds.gain(sound, 0.5 * Decibels.toAmplitude(tooHotDb));
        Verdicts verdicts = Judged.through(codec, folder, TestSounds.cut(hot, -0.5, 0.5));
        assertEquals(-6.02, ceilingOf(verdicts.channels().get(0).clipping()), 0.7);
        Overload overload = verdicts.channels().get(0).overload();
        assertNotNull(overload.excessDb());
        assertEquals(tooHotDb, overload.excessDb(), 5.5);
      }
    }
  }

  @Test
  void unevenCeilingsAreFoundThroughACodec(@TempDir Path folder) throws Exception {
    float[] hot = TestSounds.cut(TestSounds.gain(TALK, 2.5), -0.25, 0.5);
    Clipping clipping = Judged.through("aac-128000", folder, hot).channels().get(0).clipping();
    assertEquals(-6.02, ceilingOf(clipping), 0.7);
  }

  @ParameterizedTest
  @ValueSource(strings = {"aac-192000", "aac-96000", "ac3-192000"})
  void aCodecDoesNotMakeCleanSoundLookCut(String codec, @TempDir Path folder) throws Exception {
    float[][] clean = {
      TestSounds.gain(TALK, 0.7),
      TestSounds.gain(MUSIC, 0.9),
      limited(MUSIC, 4),
      limited(TALK, 4),
      TestSounds.sine(50, RATE, 8 * RATE, 0.999, 0),
      TestSounds.sine(440, RATE, 8 * RATE, 0.5, 0),
      TestSounds.sine(1000, RATE, 8 * RATE, 0.999, 0),
      TestSounds.noise(5, 8 * RATE, 0.2)
    };
    for (int i = 0; i < clean.length; i++) {
      Verdicts verdicts = Judged.through(codec, folder, clean[i]);
      assertFalse(verdicts.channels().get(0).clipping().clipped(), "sound " + i);
    }
  }

  @Test
  void spansThroughACodecCoverTheCut(@TempDir Path folder) throws Exception {
    float[] sound = TestSounds.gain(MUSIC, 0.2);
    float[] hot = TestSounds.cut(TestSounds.gain(MUSIC, 2), -0.5, 0.5);
    System.arraycopy(hot, 4 * RATE, sound, 4 * RATE, 3 * RATE);
    Clipping clipping = Judged.through("aac-192000", folder, sound).channels().get(0).clipping();
    assertTrue(clipping.clipped());
    double uncoded = straight(sound).clippedSeconds();
    assertEquals(uncoded, clipping.clippedSeconds(), 0.3 * uncoded);
    for (Span span : clipping.spans()) {
      assertTrue(span.startFrame() >= 4 * RATE - 300, "starts at " + span.startFrame());
      assertTrue(span.endFrame() <= 7 * RATE + 300, "ends at " + span.endFrame());
    }
  }

  @Test
  void shoutsThatAreCutAreOccasionalAndALineFeedIsLineLevel() {
    float[] shouts = TestSounds.cut(TestSounds.gain(TALK, 1.5), -0.9, 0.9);
    ChannelVerdict occasional = Judged.straight(shouts).channels().get(0);
    assertEquals(Overload.Verdict.OCCASIONAL, occasional.overload().verdict());
    assertEquals("clipping", occasional.findings().get(0).code());
    float[] line = TestSounds.cut(TestSounds.gain(TALK, 0.9 * Decibels.toAmplitude(20)), -0.9, 0.9);
    ChannelVerdict level = Judged.straight(line).channels().get(0);
    assertEquals(Overload.Verdict.LINE_LEVEL, level.overload().verdict());
    assertEquals("clipping", level.findings().get(0).code());
    Double pad = level.overload().padDb();
    assertNotNull(pad);
    assertTrue(pad >= 20 && pad <= 30, pad + " dB");
    Overload none = Judged.straight(TALK).channels().get(0).overload();
    assertEquals(Overload.Verdict.NONE, none.verdict());
    assertNull(none.excessDb());
  }

  /**
   * One low shout over otherwise fair talk, its highest wave cut off 10 dB below where it wanted to
   * go, behind a coupling capacitor (first-order high-pass at 5 Hz, common practice, no source).
   */
  @Test
  void oneLongFlatTopIsEnough() {
    float[] sound = TestSounds.gain(TALK, 0.1);
    int from = 5 * RATE;
    int length = RATE / 900;
    for (int i = 0; i < length; i++) {
      double wave = 0.9 * Math.sin(Math.PI * i / length);
      sound[from + i] += (float) wave;
    }
    Clipping whole = straight(highPassed(sound));
    assertFalse(whole.clipped());
    for (int i = 0; i < length; i++) {
      sound[from + i] = Math.min(0.3f, sound[from + i]);
    }
    Clipping cut = straight(highPassed(sound));
    assertTrue(cut.clipped());
    assertEquals(1, cut.spans().size(), cut.spans().toString());
    assertEquals(from, (double) cut.spans().get(0).startFrame(), length);
  }

  private static float[] highPassed(float[] sound) {
    float[] out = new float[sound.length];
    double keep = Math.exp(-2 * Math.PI * 5 / RATE);
    double last = 0;
    for (int i = 1; i < sound.length; i++) {
      last = keep * (last + sound[i] - sound[i - 1]);
      out[i] = (float) last;
    }
    return out;
  }

  @Test
  void notNumbersAreCountedAndDoNoHarm() {
    float[] sound = TestSounds.gain(TALK, 0.5);
    sound[1000] = Float.NaN;
    sound[2000] = Float.POSITIVE_INFINITY;
    for (SampleForm form : new SampleForm[] {SampleForm.FLOAT, SampleForm.LOSSY}) {
      ChannelVerdict verdict = Judged.as(form, RATE, sound).channels().get(0);
      assertFalse(verdict.clipping().clipped());
      assertEquals("not-numbers", verdict.findings().get(0).code());
      assertEquals(2L, verdict.findings().get(0).evidence().get("samples"));
      assertNotNull(verdict.peakDbfs());
      assertEquals(-6.02, verdict.peakDbfs(), 0.1);
    }
  }

  /** Hours of line level: the list of tops must neither grow for ever nor run into one span. */
  @Test
  void theListOfTopsStaysBoundedAndKeepsItsPlaces() {
    TopList tops = new TopList(RATE);
    for (int i = 0; i < 1_000_000; i++) {
      tops.add(i * 500L, 8, i % 2 == 0 ? 0.5f : 0.4f);
    }
    assertTrue(tops.count() <= TopList.LONGEST);
    long last = 0;
    for (int i = 0; i < tops.count(); i++) {
      assertTrue(tops.start(i) >= last);
      assertTrue(tops.end(i) - tops.start(i) < RATE, "a span of " + (tops.end(i) - tops.start(i)));
      last = tops.end(i);
    }
    assertTrue(last > 499_000_000L);
  }
}
