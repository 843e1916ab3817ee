package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.media.SourceFacts.SampleForm;
import hardpan.signal.Decibels;
import hardpan.signal.TestSounds;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ChannelLevelsTest {
  private static ChannelVerdict judge(float[] sound) {
    return Judged.straight(sound).channels().get(0);
  }

  private static List<String> codes(ChannelVerdict verdict) {
    return verdict.findings().stream().map(Finding::code).toList();
  }

  /** A sine's RMS level lies 3.01 dB below its peak level. */
  @Test
  void levelsOfASineAreThoseOfItsFormula() {
    ChannelVerdict verdict = judge(TestSounds.sine(997, RATE, 5 * RATE, 0.5, 0));
    assertNotNull(verdict.peakDbfs());
    assertNotNull(verdict.rmsDbfs());
    assertNotNull(verdict.activeDbfs());
    assertEquals(-6.02, verdict.peakDbfs(), 0.01);
    assertEquals(-9.03, verdict.rmsDbfs(), 0.01);
    assertEquals(-9.03, verdict.activeDbfs(), 0.5);
    assertEquals(0, verdict.dcOffset(), 1e-4);
    assertFalse(verdict.silent());
    assertEquals(List.of(), verdict.findings());
  }

  @Test
  void digitalSilenceHasNoLevels() {
    ChannelVerdict verdict = judge(new float[3 * RATE]);
    assertTrue(verdict.silent());
    assertNull(verdict.peakDbfs());
    assertNull(verdict.rmsDbfs());
    assertNull(verdict.activeDbfs());
    assertEquals(List.of("silence"), codes(verdict));
    assertEquals(true, verdict.findings().get(0).evidence().get("digitalSilence"));
  }

  @Test
  void aChannelWithoutASingleSampleIsSilent() {
    assertTrue(judge(new float[0]).silent());
  }

  @Test
  void faintNoiseIsSilenceDespiteAClickOfAPlug() {
    float[] noise = TestSounds.noise(1, 60 * RATE, 2e-4);
    for (int i = 0; i < 2000; i++) {
      noise[90_000 + i] = (float) (0.8 * Math.exp(-i / 300.0) * Math.sin(i * 0.3));
    }
    ChannelVerdict verdict = judge(noise);
    assertTrue(verdict.silent());
    assertEquals(List.of("silence"), codes(verdict));
  }

  /** Two per cent of the time is less than the twentieth that the active level looks at. */
  @Test
  void oneSentenceInALongQuietTakeIsNotSilence() {
    float[] take = TestSounds.noise(2, 200 * RATE, 2e-4);
    float[] sentence = TestSounds.gain(TestSounds.talk(2, 5, RATE), 0.5);
    for (int i = 0; i < sentence.length; i++) {
      take[100 * RATE + i] += sentence[i];
    }
    ChannelVerdict verdict = judge(take);
    assertFalse(verdict.silent());
    assertFalse(codes(verdict).contains("too-low"));
  }

  @Test
  void lowSoundAndAnOffsetAreSaid() {
    float[] low = TestSounds.gain(TestSounds.talk(3, 10, RATE), 0.01);
    for (int i = 0; i < low.length; i++) {
      low[i] += 0.01f;
    }
    ChannelVerdict verdict = judge(low);
    assertTrue(codes(verdict).contains("dc-offset"));
    assertEquals(0.01, verdict.dcOffset(), 0.001);
    ChannelVerdict centred = judge(TestSounds.gain(TestSounds.talk(3, 10, RATE), 0.01));
    assertEquals(List.of("too-low"), codes(centred));
  }

  /** RMS about -68 dBFS, peak -46 dBFS, floor -105 dBFS: low, but all there. */
  @Test
  void healthySoundInALowRecordingIsNotSilent() {
    float[] low = TestSounds.gain(TestSounds.talk(4, 30, RATE), Decibels.toAmplitude(-45.6));
    float[] take = TestSounds.sum(low, TestSounds.noise(5, low.length, 5.6e-6));
    assertEquals(List.of("too-low"), codes(judge(SampleForm.FLOAT, 0, take)));
    assertEquals(List.of("too-low"), codes(judge(SampleForm.INTEGER, 24, take)));
    assertEquals(List.of("too-low"), codes(judge(SampleForm.INTEGER, 16, take)));
    float[] lower = TestSounds.gain(take, Decibels.toAmplitude(-12));
    assertEquals(List.of("too-low"), codes(judge(SampleForm.FLOAT, 0, lower)));
  }

  @Test
  void steadyNoiseAndDitherAreSilent() {
    float[] noise = TestSounds.noise(6, 30 * RATE, Decibels.toAmplitude(-70));
    assertEquals(List.of("silence"), codes(judge(SampleForm.FLOAT, 0, noise)));
    assertEquals(List.of("silence"), codes(judge(SampleForm.INTEGER, 24, noise)));
    assertEquals(List.of("silence"), codes(judge(SampleForm.LOSSY, 0, noise)));
    // Triangular dither of two steps width, in every other second only.
    Random random = new Random(7);
    float[] dither = new float[30 * RATE];
    for (int i = 0; i < dither.length; i++) {
      long steps = Math.round(random.nextDouble() + random.nextDouble() - 1);
      dither[i] = i / RATE % 2 == 0 ? steps / 32_768f : 0;
    }
    assertEquals(List.of("silence"), codes(judge(SampleForm.INTEGER, 16, dither)));
    // Single steps now and then, as from an input that wanders about a rounding edge.
    float[] lone = new float[30 * RATE];
    for (int i = 0; i < lone.length; i++) {
      lone[i] = random.nextInt(i / RATE % 3 == 0 ? 5 : 2000) == 0 ? 1 / 32_768f : 0;
    }
    assertEquals(List.of("silence"), codes(judge(SampleForm.INTEGER, 16, lone)));
  }

  @Test
  void soundShorterThanALevelHasALevel() {
    ChannelVerdict verdict = judge(TestSounds.sine(997, RATE, 33 * RATE / 1000, 0.5, 0));
    assertFalse(verdict.silent());
    assertNotNull(verdict.activeDbfs());
    assertEquals(-9.03, verdict.activeDbfs(), 0.5);
    assertEquals(List.of(), verdict.findings());
  }

  /** A last stretch counts from half its length on. */
  @Test
  void theLastLevelCountsIfHalfFilled() {
    for (int milliseconds : new int[] {24, 26}) {
      float[] sound = new float[RATE / 10 + milliseconds * RATE / 1000];
      float[] end = TestSounds.sine(997, RATE, milliseconds * RATE / 1000, 0.5, 0);
      System.arraycopy(end, 0, sound, RATE / 10, end.length);
      assertEquals(milliseconds < 25, judge(sound).silent());
    }
  }

  private static ChannelVerdict judge(SampleForm form, int bits, float[] sound) {
    return Judged.as(form, bits, RATE, sound).channels().get(0);
  }
}
