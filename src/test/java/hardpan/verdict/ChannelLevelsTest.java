package hardpan.verdict;

import static hardpan.verdict.Judged.RATE;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.TestSounds;
import java.util.List;
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
}
